import { chooseSettings } from '../../src/balance/choice/choose-settings.js';
import {
	checkRotor,
	forecastOf,
	type KindPrior,
	learnRotor,
	type Proposal,
	propose,
	type RotorProblem,
	type Run,
} from '../../src/balance/index.js';
import { currentSettings } from '../../src/balance/predict/outlook.js';
import { allowedSettings } from '../../src/balance/propose/allowed.js';
import { choiceVariables } from '../../src/balance/propose/choice-problem.js';
import { recommend } from '../../src/balance/propose/recommend.js';
import { inspectFlags } from '../../src/balance/report/inspect.js';
import { learnedKinds } from '../../src/balance/report/learned.js';
import { unreachableOf } from '../../src/balance/report/unreachable.js';
import { stateOf } from '../../src/balance/state.js';
import { type Complex, polar, problemOf, type SimulatedRotor } from './simulated-rotor.js';

/** What a strategy decides after a run; `proposal` where it made a prediction that can be checked. */
export interface Decision {
	readonly settings: Readonly<Record<string, number>>;
	readonly proposal: Proposal | null;
	/** Codes of the stop-and-inspect flags that came with the answer. */
	readonly flags: readonly string[];
}

export interface Strategy {
	readonly id: 'fixed table' | 'learning' | 'learning + fleet' | 'oracle';
	readonly decide: (rotor: SimulatedRotor, runs: readonly Run[]) => Decision;
}

const MAX_TOUCHES = 5;

/** Repeats the table's coefficients on the last run's readings, exactly optimal for them. */
export const FIXED_TABLE: Strategy = {
	id: 'fixed table',
	decide: (rotor, runs) => {
		const effect = rotor.shape.channels.map((channel) =>
			rotor.shape.adjusters.map((adjuster): Complex => {
				const row = rotor.shape.table.find((entry) => entry.channel === channel.id && entry.kind === adjuster.kind)!;
				return polar(row.amplitudeIpsPerUnit, row.phaseDeg + adjuster.passAngleDeg);
			}),
		);
		return bestWith(rotor, effect, runs);
	},
};

/** Knows the true coefficients; the level it knows from the last run's readings, as everybody does. */
export const ORACLE: Strategy = {
	id: 'oracle',
	decide: (rotor, runs) => bestWith(rotor, rotor.effect, runs),
};

export function learning(priors?: readonly KindPrior[]): Strategy {
	return {
		id: priors === undefined ? 'learning' : 'learning + fleet',
		decide: (rotor, runs) => {
			const answer = answered(problemOf(rotor, runs, priors), runs);
			// A rotor that is not inside must be flown again: no change is then no answer, so the likeliest change is made.
			const changing = answer.proposals.filter((proposal) => proposal.touches > 0);
			const recommended = answer.recommended === null ? undefined : answer.proposals[answer.recommended];
			const likeliest = changing.reduce<Proposal | undefined>(
				(best, one) => (best === undefined || one.chanceAllWithinGoal > best.chanceAllWithinGoal ? one : best),
				undefined,
			);
			const proposal =
				recommended !== undefined && recommended.touches > 0 ? recommended : (likeliest ?? recommended ?? null);
			return {
				settings: proposal?.settings ?? runs.at(-1)!.settings!,
				proposal,
				flags: answer.flags,
			};
		},
	};
}

/** What `solveRotor` answers, less the audit and what hangs on it, which no strategy looks at. */
export function answered(
	problem: RotorProblem,
	runs: readonly Run[],
): { readonly proposals: readonly Proposal[]; readonly recommended: number | null; readonly flags: readonly string[] } {
	const checked = checkRotor(problem);
	if (!checked.ok) throw new Error(JSON.stringify(checked.problem));
	const posterior = learnRotor(problem, runs);
	const forecast = forecastOf(posterior);
	const proposals = propose(forecast, {});
	const recommended = recommend(proposals, stateOf(problem), problem.adjusters);
	const variables = choiceVariables(posterior.layout, currentSettings(posterior));
	const flags = inspectFlags({
		problem,
		runs,
		learned: learnedKinds(posterior, SEED),
		unreachable: unreachableOf(forecast, variables, SEED),
		recommended: proposals[recommended] ?? null,
	});
	return { proposals, recommended, flags: flags.map(({ code }) => code) };
}

/** The seed `solveRotor` takes when none is given. */
const SEED = 1;

/** The settings with the smallest worst reading if `effect` were the truth. */
function bestWith(rotor: SimulatedRotor, effect: readonly (readonly Complex[])[], runs: readonly Run[]): Decision {
	const { channels, adjusters } = rotor.shape;
	const last = runs.at(-1)!;
	const problem: RotorProblem = problemOf(rotor, runs);
	const checked = checkRotor(problem);
	if (!checked.ok) throw new Error(JSON.stringify(checked.problem));
	const answer = chooseSettings(
		{
			terms: channels.map((channel, k) => {
				const reading = last.readings[channel.id]!;
				const start = polar(reading.amplitudeIps, reading.phaseDeg!);
				const goal = channel.goalIps!;
				const rows = [0, 1].map((part) => effect[k]!.map((value) => value[part]! / goal));
				const offset = rows.map((row, part) =>
					row.reduce((sum, value, j) => sum - value * last.settings![adjusters[j]!.id]!, start[part]! / goal),
				);
				return { id: channel.id, rows, offset };
			}),
			variables: adjusters.map((adjuster) => {
				const current = last.settings![adjuster.id]!;
				const mass = adjuster.kind === 'plate' || adjuster.kind === 'screw' ? 1 : 0;
				return {
					id: adjuster.id,
					kind: adjuster.kind,
					current,
					allowed: allowedSettings(problem, adjuster, current),
					effort: 1,
					mass,
				};
			}),
			constraints: [],
			maxTouches: MAX_TOUCHES,
			touchCounts: [Math.min(MAX_TOUCHES, adjusters.length)],
			objective: 'worst',
		},
		{ nodeLimit: 1e6 },
	).byTouches[0]!;
	if (answer.state === 'none') throw new Error('nothing allowed');
	return {
		settings: Object.fromEntries(adjusters.map(({ id }, j) => [id, answer.best.settings[j]!])),
		proposal: null,
		flags: [],
	};
}
