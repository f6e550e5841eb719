import { fail, ok, type Result } from '../result/index.js';
import { backSubstitute, forwardSubstitute, type Matrix, reduceToTriangle } from './householder.js';

/**
 * What is known of some unknowns x, as a square root of the information: U·x = head with unit noise.
 * Kept in this form because subtracting covariances loses the estimate when the prior is wide.
 */
export interface SquareRootEstimate {
	readonly order: number;
	/** Upper triangle, `order × order`, row by row. UᵀU is the inverse covariance. */
	readonly upper: Float64Array;
	readonly head: Float64Array;
}

/** An estimate that knows nothing but a mean and an independent standard deviation (> 0) for each unknown. */
export function priorEstimate(means: readonly number[], sds: readonly number[]): SquareRootEstimate {
	const order = means.length;
	const upper = new Float64Array(order * order);
	const head = new Float64Array(order);
	means.forEach((mean, k) => {
		const sd = sds[k];
		if (sd === undefined || !(sd > 0)) throw new RangeError('every unknown needs a standard deviation above zero');
		upper[k * order + k] = 1 / sd;
		head[k] = mean / sd;
	});
	return { order, upper, head };
}

/**
 * Takes in one measurement: row·x = measured ± sd, by turning the new row into the triangle (sequential QR).
 * Problem `sd-not-positive` for a noise that is not above zero.
 * Source: square-root information filter, G. J. Bierman, "Factorization Methods for Discrete Sequential Estimation" (from memory).
 */
export function takeIn(
	estimate: SquareRootEstimate,
	row: readonly number[],
	measured: number,
	sd: number,
): Result<SquareRootEstimate, { readonly code: 'sd-not-positive'; readonly found: number; readonly needed: number }> {
	const { order } = estimate;
	if (row.length !== order) throw new RangeError('one number per unknown');
	if (!(sd > 0)) return fail({ code: 'sd-not-positive', found: sd, needed: 0 });
	const values = new Float64Array((order + 1) * order);
	values.set(estimate.upper);
	row.forEach((value, k) => {
		values[order * order + k] = value / sd;
	});
	const stacked: Matrix = { rows: order + 1, columns: order, values };
	const triangle = reduceToTriangle(stacked, Float64Array.of(...estimate.head, measured / sd));
	return ok({ order, upper: triangle.upper, head: triangle.head });
}

/** The mean of each unknown. */
export function meansOf(estimate: SquareRootEstimate): readonly number[] {
	return Array.from(backSubstitute(estimate.upper, estimate.order, estimate.head));
}

/** The variance of each unknown. */
export function variancesOf(estimate: SquareRootEstimate): readonly number[] {
	return Array.from({ length: estimate.order }, (_, k) => {
		const axis = new Float64Array(estimate.order);
		axis[k] = 1;
		return forwardSubstitute(estimate.upper, estimate.order, axis).reduce((sum, value) => sum + value * value, 0);
	});
}
