import type { Complex } from '../phasor/index.js';
import { ok, type Result } from '../result/index.js';
import { type LeastSquaresProblem, leastSquares } from './least-squares.js';

export interface ComplexFit {
	readonly coefficients: readonly Complex[];
	/** y − A·x, in the order of the rows, without the weights. */
	readonly residuals: readonly Complex[];
	/** Σ weight·|residual|². */
	readonly weightedSquares: number;
	/** Standard deviation of the noise per axis, over 2·(rows − unknowns) degrees of freedom; 0 without any. */
	readonly residualSd: number;
	/** Per coefficient, per axis. */
	readonly coefficientSds: readonly number[];
}

/**
 * Complex weighted least squares: min Σ wᵢ|yᵢ − Aᵢ·x|². Each complex row becomes two real ones, so one QR serves both.
 * @param design one row per measurement, one complex column per unknown
 * Problems: as `leastSquares` (counted in real rows).
 * Source: T. P. Goodman, "A Least-Squares Method for Computing Balance Corrections", J. Eng. for Industry 86 (1964), from memory.
 */
export function complexLeastSquares(
	design: readonly (readonly Complex[])[],
	measured: readonly Complex[],
	weights?: readonly number[],
): Result<ComplexFit, LeastSquaresProblem> {
	const rows = design.flatMap((row) => [row.flatMap((a) => [a.re, -a.im]), row.flatMap((a) => [a.im, a.re])]);
	const values = measured.flatMap((y) => [y.re, y.im]);
	const fit = leastSquares(
		rows,
		values,
		weights?.flatMap((w) => [w, w]),
	);
	if (!fit.ok) return fit;
	return ok({
		coefficients: pairs(fit.value.coefficients),
		residuals: pairs(fit.value.residuals),
		weightedSquares: fit.value.weightedSquares,
		residualSd: fit.value.residualSd,
		coefficientSds: fit.value.coefficientSds.filter((_, at) => at % 2 === 0),
	});
}

function pairs(values: readonly number[]): Complex[] {
	return Array.from({ length: values.length / 2 }, (_, at) => ({
		re: values[2 * at] as number,
		im: values[2 * at + 1] as number,
	}));
}
