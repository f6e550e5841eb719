import type { PredictedTrack } from '../answer.js';
import type { ChoiceTerm } from '../choice/types.js';
import type { RotorProblem, Run } from '../model.js';

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
	return problem.track?.coefficients?.find((c) => c.regime === regime && c.kind === kind)?.mmPerUnit ?? 0;
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
			return [regime, { spreadMm: Math.max(...all) - Math.min(...all), heightsMm, limitMm }];
		}),
	);
}

/** One term per regime with a limit and pair of blades: their difference over the limit. Without a limit: no term. */
export function trackTerms(problem: RotorProblem, runs: readonly Run[], now: ArrayLike<number>): ChoiceTerm[] {
	const blades = problem.rotor.blades;
	return Object.entries(lastTrack(problem, runs)).flatMap(([regime, heights]) => {
		const limit = problem.track?.limits?.find((l) => l.regime === regime)?.spreadMm;
		if (limit === undefined) return [];
		return blades.flatMap((a, n) =>
			blades.slice(n + 1).map((b): ChoiceTerm => {
				// the mean falls out of a difference
				const row = problem.adjusters.map((x) => {
					const sense = x.blade === a.id ? 1 : x.blade === b.id ? -1 : 0;
					return (sense * mmPerUnit(problem, regime, x.kind)) / limit;
				});
				const apart = ((heights[a.id] ?? 0) - (heights[b.id] ?? 0)) / limit;
				return {
					id: `track ${regime} ${a.id}-${b.id}`,
					rows: [row],
					offset: [apart - row.reduce((sum, value, j) => sum + value * now[j]!, 0)],
					weight: 1,
				};
			}),
		);
	});
}
