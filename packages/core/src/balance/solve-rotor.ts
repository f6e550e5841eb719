import { ok, type Result } from '../result/index.js';
import type { Proposals } from './answer.js';
import { alternativeOf } from './audit/alternative.js';
import { auditRun } from './audit/audit-run.js';
import { checkRotor } from './check-rotor.js';
import type { RotorProblemFault } from './fault.js';
import { learnRotor, runsInUse } from './learn/learn.js';
import type { RotorProblem, Run } from './model.js';
import type { SolveOptions } from './options.js';
import { currentSettings } from './predict/outlook.js';
import { forecastOf } from './predict/predict.js';
import { choiceVariables } from './propose/choice-problem.js';
import { propose } from './propose/propose.js';
import { recommend } from './propose/recommend.js';
import { inspectFlags } from './report/inspect.js';
import { learnedKinds } from './report/learned.js';
import { lineOnlyKinds } from './report/line-only.js';
import { unreachableOf } from './report/unreachable.js';
import { unusedInput } from './report/unused.js';
import { stateOf } from './state.js';
import { trialAdvice } from './trial.js';

/** As without coefficients: the fault and two trials in different places (docs/methods/shop.md). */
const runsWithoutPhase = 3;

/**
 * What to change on this rotor, what it will read and how sure that is (docs/methods/balance.md). The answer depends on
 * the problem, the seed and the number of draws; a time budget may only leave proposals unproved.
 * Problems: those of `checkRotor`, each with its JSON path.
 */
export function solveRotor(problem: RotorProblem, options: SolveOptions = {}): Result<Proposals, RotorProblemFault> {
	const checked = checkRotor(problem);
	if (!checked.ok) return checked;
	const state = stateOf(problem);
	const runs = runsInUse(problem);
	const blank: Proposals = {
		format: 'stillmast/proposals@1',
		state,
		proposals: [],
		recommended: null,
		learned: [],
		unreachable: {},
		inspect: [],
		audit: null,
		alternative: null,
		lineOnly: lineOnlyKinds(problem),
		unused: unusedInput(problem),
		trial: null,
	};
	if (runs.every((run) => Object.keys(run.readings).length === 0)) return ok({ ...blank, trial: trialAdvice(problem) });
	const seed = options.seed ?? 1;
	const posterior = learnRotor(problem, runs);
	const forecast = forecastOf(posterior);
	const proposals = propose(forecast, options);
	const unreachable = unreachableOf(forecast, choiceVariables(posterior.layout, currentSettings(posterior)), seed);
	const recommended = recommend(proposals, state, problem.adjusters);
	const learned = learnedKinds(posterior, seed);
	const chosen = proposals[recommended] ?? null;
	const audited = auditRun(problem, runs);
	const alternative = audited && alternativeOf(problem, runs, audited, chosen, options);
	return ok({
		...blank,
		proposals: alternative?.differs ? proposals.map((p) => ({ ...p, disputed: true })) : proposals,
		recommended,
		learned,
		inspect: inspectFlags({ problem, runs, learned, unreachable, recommended: chosen }),
		unreachable: unreachable.byChannel,
		audit: audited?.audit ?? null,
		alternative,
		// one run without phase says how much, not where: only a trial tells
		trial: phaseKnown(runs) ? null : trialAdvice(problem),
	});
}

/** A phase somewhere, or enough different runs that amplitudes alone settle the direction. */
function phaseKnown(runs: readonly Run[]): boolean {
	const anyPhase = runs.some((run) => Object.values(run.readings).some((r) => (r.phaseDeg ?? null) !== null));
	const different = new Set(runs.map((run) => JSON.stringify(run.settings ?? {})));
	return anyPhase || different.size >= runsWithoutPhase;
}
