import { fail, ok, type Result } from '../result/index.js';
import { resampleRevolution } from './angle-resample.js';
import type { Samples } from './pulse-detector.js';

export interface AverageProblem {
	readonly code: 'no-revolutions';
	readonly found: number;
	readonly needed: number;
}

/**
 * Mean wave of many revolutions at equal angles. Noise that does not follow the rotor falls with 1/√N; a tone that is no
 * multiple of the rotor speed does not, it follows the comb of the revolutions.
 * @param samples a column
 * @param revolutions start and end of each, in samples of the column; one that reaches beyond it or over a gap is left out
 * @param points of the answer, the first at the pulse
 * Problem `no-revolutions`.
 * Source: D. Hochmann and M. Sadok, "Theory of Synchronous Averaging", IEEE Aerospace Conf. 2004 (abstract).
 */
export function synchronousAverage(
	samples: Samples,
	revolutions: readonly { readonly from: number; readonly to: number }[],
	points: number,
): Result<{ readonly wave: Float64Array; readonly revolutions: number }, AverageProblem> {
	const wave = new Float64Array(points);
	const one = new Float64Array(points);
	let used = 0;
	for (const { from, to } of revolutions) {
		resampleRevolution(samples, 0, from, to, one);
		if (!one.every(Number.isFinite)) continue;
		for (let k = 0; k < points; k++) wave[k] = (wave[k] as number) + (one[k] as number);
		used++;
	}
	if (used === 0) return fail({ code: 'no-revolutions', found: revolutions.length, needed: 1 });
	return ok({ wave: wave.map((sum) => sum / used), revolutions: used });
}
