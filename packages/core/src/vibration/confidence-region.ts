import { matrixFrom } from '../linear/index.js';
import { degPerRad, wrap360 } from '../phasor/index.js';
import { fail, ok, type Result } from '../result/index.js';

export interface MeanAndCovariance {
	readonly count: number;
	readonly mean: readonly number[];
	/** Of one observation, divisor n − 1. The covariance of the mean is this over `count`. */
	readonly covariance: readonly (readonly number[])[];
}

export interface RegionProblem {
	/** `too-few`: not more observations than needed. `singular-covariance`: the observations lie on a line or in a point. */
	readonly code: 'too-few' | 'singular-covariance';
	readonly found: number;
	readonly needed: number;
}

/** Mean vector and covariance of observations (one row each, ≥ 2 rows). Problem `too-few`. */
export function meanAndCovariance(
	observations: readonly (readonly number[])[],
): Result<MeanAndCovariance, RegionProblem> {
	const { rows, columns, values } = matrixFrom(observations);
	if (rows < 2) return fail({ code: 'too-few', found: rows, needed: 2 });
	const at = (r: number, c: number) => values[r * columns + c] as number;
	const mean = Array.from({ length: columns }, (_, c) => {
		let sum = 0;
		for (let r = 0; r < rows; r++) sum += at(r, c);
		return sum / rows;
	});
	const covariance = mean.map((centreA, a) =>
		mean.map((centreB, b) => {
			let sum = 0;
			for (let r = 0; r < rows; r++) sum += (at(r, a) - centreA) * (at(r, b) - centreB);
			return sum / (rows - 1);
		}),
	);
	return ok({ count: rows, mean, covariance });
}

/**
 * Hotelling's T² of a two-dimensional mean against a supposed one: n·dᵀS⁻¹d. Full precision throughout: a covariance
 * rounded to four digits changes the answer by a tenth.
 * Problem `singular-covariance`. Source: R. A. Johnson and D. W. Wichern, "Applied Multivariate Statistical Analysis", ch. 5.
 */
export function tSquared(
	estimate: MeanAndCovariance,
	supposed: readonly [number, number],
): Result<number, RegionProblem> {
	const { xx, xy, yy } = planar(estimate);
	const determinant = xx * yy - xy * xy;
	if (!(determinant > 0)) return fail({ code: 'singular-covariance', found: determinant, needed: 0 });
	const x = (estimate.mean[0] as number) - supposed[0];
	const y = (estimate.mean[1] as number) - supposed[1];
	return ok((estimate.count * (yy * x * x - 2 * xy * x * y + xx * y * y)) / determinant);
}

/**
 * Largest T² that a two-dimensional mean of `count` observations shows with the given chance: 2(n − 1)/(n − 2)·F.
 * With two degrees of freedom above, the F quantile has a closed form. `count` ≥ 3, chance in (0, 1). Problem `too-few`.
 */
export function tSquaredLimit(count: number, chance: number): Result<number, RegionProblem> {
	if (count < 3) return fail({ code: 'too-few', found: count, needed: 3 });
	const below = count - 2;
	const quantile = (below / 2) * ((1 - chance) ** (-2 / below) - 1);
	return ok(((2 * (count - 1)) / below) * quantile);
}

export interface ConfidenceEllipse {
	readonly halfAxes: readonly [number, number];
	/** Direction of the longer axis in [0, 180). */
	readonly majorAxisDeg: number;
}

/** Ellipse that covers the true two-dimensional mean with the given chance. Problems `too-few`, `singular-covariance`. */
export function confidenceEllipse(
	estimate: MeanAndCovariance,
	chance: number,
): Result<ConfidenceEllipse, RegionProblem> {
	const limit = tSquaredLimit(estimate.count, chance);
	if (!limit.ok) return limit;
	const { xx, xy, yy } = planar(estimate);
	const middle = (xx + yy) / 2;
	const apart = Math.hypot((xx - yy) / 2, xy);
	if (!(middle - apart > 0)) return fail({ code: 'singular-covariance', found: middle - apart, needed: 0 });
	const reach = Math.sqrt(limit.value / estimate.count);
	const twiceDeg = Math.atan2(2 * xy, xx - yy) * degPerRad;
	return ok({
		halfAxes: [reach * Math.sqrt(middle + apart), reach * Math.sqrt(middle - apart)],
		majorAxisDeg: wrap360(twiceDeg / 2) % 180,
	});
}

function planar(estimate: MeanAndCovariance) {
	if (estimate.mean.length !== 2) throw new RangeError('two-dimensional observations only');
	const [top = [], bottom = []] = estimate.covariance;
	return { xx: top[0] as number, xy: top[1] as number, yy: bottom[1] as number };
}
