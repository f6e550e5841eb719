import type { Change, Proposal } from '../answer.js';
import type { ChoiceProblem } from '../choice/types.js';
import { currentSettings } from '../predict/outlook.js';
import { type Forecast, predict } from '../predict/predict.js';
import { changeWords } from '../words/change-words.js';
import { isMass } from './allowed.js';
import { fitPieces } from './pieces.js';
import { tidy } from './tidy.js';
import { predictedTrack } from './track.js';

export interface ProposalInput {
	readonly forecast: Forecast;
	readonly choice: ChoiceProblem;
	readonly settings: readonly number[];
	readonly lowerBound: number;
	readonly proved: boolean;
	readonly draws: number;
	readonly seed: number;
}

/** A layout of settings told in full: what to do, what it will read, what it makes stale. */
export function proposalOf(input: ProposalInput): Proposal {
	const { forecast, choice } = input;
	const { layout } = forecast.posterior;
	const { problem, adjusters, channels } = layout;
	const now = currentSettings(forecast.posterior);
	const settings = Float64Array.from(input.settings);
	const { readings, joint } = predict(forecast, settings, input.draws, input.seed);
	const fitted = fitPieces(adjusters, input.settings);
	const changes = adjusters.flatMap((adjuster, j): Change[] => {
		const from = now[j]!;
		const to = settings[j]!;
		if (from === to) return [];
		const pieces = fitted?.[j] ?? null;
		const words = changeWords(adjuster, from, to, adjusters, pieces);
		return [
			{
				adjuster: adjuster.id,
				from,
				to,
				words,
				...(pieces === null ? {} : { pieces }),
				...(adjuster.inspection === undefined ? {} : { inspection: adjuster.inspection }),
			},
		];
	});
	return {
		touches: changes.length,
		settings: Object.fromEntries(adjusters.map((a, j) => [a.id, settings[j]!])),
		changes,
		predicted: readings,
		worstRatioToGoal: Math.sqrt(worstSquare(choice, input.settings)),
		lowerBound: input.lowerBound,
		chanceAllWithinLimit: joint.allWithinLimit,
		chanceAllWithinGoal: joint.allWithinGoal,
		meanChange: meanChange(forecast, settings),
		rotorRpmPct: rotorRpm(forecast, settings),
		makesStale: changes.length === 0 ? [] : ['vibration', 'track', 'autorotation-rpm'],
		buildUp: channels
			.filter((c) => c.stopIps !== undefined && readings[c.id]!.high95Ips >= c.stopIps)
			.map((channel) => channel.id),
		...trackPart(),
		proved: input.proved,
		disputed: false,
	};

	function trackPart(): Pick<Proposal, 'track'> {
		const runs = layout.runs.map((r) => r.run);
		const track = predictedTrack(problem, runs, now, settings);
		return Object.keys(track).length === 0 ? {} : { track };
	}

	function meanChange(of: Forecast, to: Float64Array): Record<string, number> {
		const blades = Math.max(1, problem.rotor.blades.length);
		const means: Record<string, number> = {};
		for (const kind of new Set(of.posterior.layout.adjusters.filter((a) => !isMass(a)).map((a) => a.kind))) {
			const sum = adjusters.reduce((total, a, j) => total + (a.kind === kind ? to[j]! - now[j]! : 0), 0);
			if (tidy(sum) !== 0) means[kind] = tidy(sum / blades);
		}
		return means;
	}

	function rotorRpm(of: Forecast, to: Float64Array): number | null {
		const given = of.posterior.layout.adjusters.some((a) => a.rotorRpmPctPerUnit !== undefined);
		if (!given) return null;
		const blades = Math.max(1, problem.rotor.blades.length);
		return adjusters.reduce((sum, a, j) => sum + ((a.rotorRpmPctPerUnit ?? 0) * (to[j]! - now[j]!)) / blades, 0);
	}
}

/** The largest r² over the terms. */
export function worstSquare(choice: ChoiceProblem, settings: readonly number[]): number {
	return Math.max(...choice.terms.map((term) => squareOf(term, settings)));
}

/** Σ weight·r² over the terms. */
export function squareSum(choice: ChoiceProblem, settings: readonly number[]): number {
	return choice.terms.reduce((sum, term) => sum + (term.weight ?? 1) * squareOf(term, settings), 0);
}

function squareOf(term: ChoiceProblem['terms'][number], settings: readonly number[]): number {
	let square = 0;
	for (const [i, row] of term.rows.entries()) {
		let value = term.offset[i]!;
		for (let j = 0; j < row.length; j++) value += row[j]! * settings[j]!;
		square += value * value;
	}
	return square;
}
