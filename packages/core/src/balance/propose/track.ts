import type { PredictedTrack } from '../answer.js';
import type { ChoiceTerm } from '../choice/types.js';
import type { RotorProblem, Run, TrackCoefficient } from '../model.js';

/**
 * Heights of the blades in one regime after a change: h_m = h0_m + s·(x_m − mean x), summed over the kinds; mm, in the
 * sense the type states. `now` and `to` are settings per adjuster.
 */
function heightsAt(
	problem: RotorProblem,
	heights: Readonly<Record<string, number>>,
	regime: string,
	now: ArrayLike<number>,
	to: ArrayLike<number>,
): Record<string, number> {
	const blades = problem.rotor.blades;
	const moved = blades.map((blade) =>
		problem.adjusters.reduce(
			(sum, a, j) => (a.blade === blade.id ? sum + mmPerUnit(problem, regime, a.kind) * (to[j]! - now[j]!) : sum),
			0,
		),
	);
	const mean = moved.reduce((sum, value) => sum + value, 0) / Math.max(1, blades.length);
	return Object.fromEntries(blades.map((b, n) => [b.id, (heights[b.id] ?? 0) + moved[n]! - mean]));
}

function mmPerUnit(problem: RotorProblem, regime: string, kind: string): number {
	return coefficientOf(problem, regime, kind)?.mmPerUnit ?? 0;
}

function coefficientOf(problem: RotorProblem, regime: string, kind: string): TrackCoefficient | undefined {
	return problem.track?.coefficients?.find((c) => c.regime === regime && c.kind === kind);
}

/** Kinds whose effect on the track of a regime is not known exactly. */
function uncertainKinds(problem: RotorProblem, regime: string): readonly string[] {
	const kinds = new Set(problem.adjusters.map((a) => a.kind));
	return [...kinds].filter((kind) => (coefficientOf(problem, regime, kind)?.sdRelative ?? 0) > 0);
}

/**
 * How a difference of two blades' heights depends on the settings, mm per unit: the mean, and one row per kind for what
 * one sd of that kind's coefficient adds. A kind's error is the same on all blades, so it cancels in a common move.
 */
function pairRows(problem: RotorProblem, regime: string, a: string, b: string): readonly (readonly number[])[] {
	const rowOf = (factor: (kind: string) => number): number[] =>
		problem.adjusters.map((x) => {
			const sense = x.blade === a ? 1 : x.blade === b ? -1 : 0;
			return sense === 0 ? 0 : sense * mmPerUnit(problem, regime, x.kind) * factor(x.kind);
		});
	return [
		rowOf(() => 1),
		...uncertainKinds(problem, regime).map((kind) =>
			rowOf((own) => (own === kind ? (coefficientOf(problem, regime, kind)?.sdRelative ?? 0) : 0)),
		),
	];
}

/** Sd of the difference of two heights as measured. */
function measuredSd(heights: Readonly<Record<string, number>>): number {
	return Math.SQRT2 * (heights.sdMm ?? 0);
}

/** Track of the last run in use that has one, where the type knows what its adjusters do to it. */
function lastTrack(
	problem: RotorProblem,
	runs: readonly Run[],
): Readonly<Record<string, Readonly<Record<string, number>>>> {
	if (!problem.track?.coefficients?.length) return {};
	return runs.findLast((run) => run.track !== undefined)?.track ?? {};
}

/** Predicted track per regime, or nothing without track coefficients. */
export function predictedTrack(
	problem: RotorProblem,
	runs: readonly Run[],
	now: ArrayLike<number>,
	to: ArrayLike<number>,
): Record<string, PredictedTrack> {
	return Object.fromEntries(
		Object.entries(lastTrack(problem, runs)).map(([regime, heights]): [string, PredictedTrack] => {
			const heightsMm = heightsAt(problem, heights, regime, now, to);
			const all = Object.values(heightsMm);
			const limitMm = problem.track?.limits?.find((l) => l.regime === regime)?.spreadMm ?? null;
			const spreadMm = Math.max(...all) - Math.min(...all);
			const high95Mm = highestPair(problem, regime, heights, heightsMm, now, to);
			return [regime, { spreadMm, high95Mm, heightsMm, limitMm }];
		}),
	);
}

/** The 97.5 % point of the largest difference of two blades, taken pair by pair. */
function highestPair(
	problem: RotorProblem,
	regime: string,
	measured: Readonly<Record<string, number>>,
	heightsMm: Readonly<Record<string, number>>,
	now: ArrayLike<number>,
	to: ArrayLike<number>,
): number {
	const { blades } = problem.rotor;
	let highest = 0;
	for (const [n, a] of blades.entries()) {
		for (const b of blades.slice(n + 1)) {
			const [, ...spread] = pairRows(problem, regime, a.id, b.id);
			const parts = spread.map((row) => row.reduce((sum, value, j) => sum + value * (to[j]! - now[j]!), 0));
			const sd = Math.hypot(measuredSd(measured), ...parts);
			highest = Math.max(highest, Math.abs(heightsMm[a.id]! - heightsMm[b.id]!) + 1.96 * sd);
		}
	}
	return highest;
}

/**
 * One term per regime with a limit and pair of blades: their difference over the limit, with `cautionSd` standard
 * deviations of it as further rows. Without a limit: no term.
 */
export function trackTerms(
	problem: RotorProblem,
	runs: readonly Run[],
	now: ArrayLike<number>,
	cautionSd: number,
): ChoiceTerm[] {
	const blades = problem.rotor.blades;
	return Object.entries(lastTrack(problem, runs)).flatMap(([regime, heights]) => {
		const limit = problem.track?.limits?.find((l) => l.regime === regime)?.spreadMm;
		if (limit === undefined) return [];
		return blades.flatMap((a, n) =>
			blades.slice(n + 1).map((b): ChoiceTerm => {
				// the mean falls out of a difference
				const [mean, ...spread] = pairRows(problem, regime, a.id, b.id);
				const over = (row: readonly number[], factor: number): number[] => row.map((v) => (factor * v) / limit);
				const moving = [over(mean!, 1), ...spread.map((row) => over(row, cautionSd))];
				const from = (row: readonly number[]): number => row.reduce((sum, value, j) => sum + value * now[j]!, 0);
				const apart = ((heights[a.id] ?? 0) - (heights[b.id] ?? 0)) / limit;
				const floor = (cautionSd * measuredSd(heights)) / limit;
				return {
					id: `track ${regime} ${a.id}-${b.id}`,
					rows: [...moving, ...(floor > 0 ? [moving[0]!.map(() => 0)] : [])],
					offset: [...moving.map((row, i) => (i === 0 ? apart : 0) - from(row)), ...(floor > 0 ? [floor] : [])],
					weight: 1,
				};
			}),
		);
	});
}
