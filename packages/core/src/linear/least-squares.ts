import { fail, ok, type Result } from '../result/index.js';
import { backSubstitute, forwardSubstitute, type Matrix, matrixFrom, reduceToTriangle } from './householder.js';

/** Why a fit could not be made. */
export interface LeastSquaresProblem {
	/** `too-few-rows`: fewer measurements than unknowns. `rank-deficient`: the measurements do not tell the unknowns apart. `not-a-number`: a value that is not finite, or a negative weight. */
	readonly code: 'too-few-rows' | 'rank-deficient' | 'not-a-number';
	readonly found: number;
	readonly needed: number | 'a finite number';
	readonly path?: string;
}

export interface LeastSquaresFit {
	readonly coefficients: readonly number[];
	/** Standard deviation of each coefficient; all 0 when there are as many rows as unknowns. */
	readonly coefficientSds: readonly number[];
	/** y − A·x, in the order of the rows, without the weights. */
	readonly residuals: readonly number[];
	/** Σ weight·residual². */
	readonly weightedSquares: number;
	/** √(weightedSquares / degreesOfFreedom); 0 without degrees of freedom. */
	readonly residualSd: number;
	readonly degreesOfFreedom: number;
}

/**
 * How small a pivot may be beside its column before the fit is refused. The columns are brought to equal length first,
 * so this is a bound on the condition number of the scaled problem: 1e-14 leaves the published hard cases solvable.
 */
const smallestPivot = 1e-14;

/**
 * Weighted linear least squares by Householder QR on columns of equal length: min Σ wᵢ(yᵢ − Aᵢ·x)².
 * @param design one row per measurement, one column per unknown
 * @param measured one number per row
 * @param weights ≥ 0, one per row; left out means 1 each
 * Problems: `too-few-rows`, `rank-deficient`, `not-a-number`.
 * Source: textbook method; checked against the certified NIST StRD values (tests/vectors/balance).
 */
export function leastSquares(
	design: readonly (readonly number[])[],
	measured: readonly number[],
	weights?: readonly number[],
): Result<LeastSquaresFit, LeastSquaresProblem> {
	const matrix = matrixFrom(design);
	const rows = matrix.rows;
	const order = matrix.columns;
	if (measured.length !== rows || (weights && weights.length !== rows))
		throw new RangeError('one measurement and one weight per row');
	if (rows < order || order === 0) return fail({ code: 'too-few-rows', found: rows, needed: Math.max(order, 1) });
	const bad = firstNotFinite(matrix, measured, weights);
	if (bad) return bad;
	const scaled = scaleForFit(matrix, measured, weights);
	const triangle = reduceToTriangle(scaled.matrix, scaled.rightHandSide);
	for (let k = 0; k < order; k++) {
		const pivot = Math.abs(triangle.upper[k * order + k] as number);
		if (!(pivot > smallestPivot))
			return fail({ code: 'rank-deficient', found: pivot, needed: smallestPivot, path: `$.design[*][${k}]` });
	}
	const unit = backSubstitute(triangle.upper, order, triangle.head);
	const coefficients = Array.from(unit, (value, k) => value / (scaled.columnLengths[k] as number));
	const residuals = design.map((row, r) =>
		row.reduce((rest, value, k) => rest - value * (coefficients[k] as number), measured[r] as number),
	);
	const weightedSquares = residuals.reduce((sum, residual, r) => sum + (weights?.[r] ?? 1) * residual * residual, 0);
	const degreesOfFreedom = rows - order;
	const residualSd = degreesOfFreedom > 0 ? Math.sqrt(weightedSquares / degreesOfFreedom) : 0;
	const coefficientSds = coefficients.map((_, k) => {
		const axis = new Float64Array(order);
		axis[k] = 1;
		return (residualSd * length(forwardSubstitute(triangle.upper, order, axis))) / (scaled.columnLengths[k] as number);
	});
	return ok({ coefficients, coefficientSds, residuals, weightedSquares, residualSd, degreesOfFreedom });
}

function length(values: Float64Array): number {
	return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0));
}

function firstNotFinite(matrix: Matrix, measured: readonly number[], weights: readonly number[] | undefined) {
	const refuse = (found: number, path: string) =>
		fail<LeastSquaresProblem>({ code: 'not-a-number', found, needed: 'a finite number', path });
	for (let r = 0; r < matrix.rows; r++) {
		const weight = weights?.[r] ?? 1;
		if (!(Number.isFinite(weight) && weight >= 0)) return refuse(weight, `$.weights[${r}]`);
		if (!Number.isFinite(measured[r])) return refuse(measured[r] as number, `$.measured[${r}]`);
		for (let k = 0; k < matrix.columns; k++) {
			const value = matrix.values[r * matrix.columns + k] as number;
			if (!Number.isFinite(value)) return refuse(value, `$.design[${r}][${k}]`);
		}
	}
	return undefined;
}

function scaleForFit(matrix: Matrix, measured: readonly number[], weights: readonly number[] | undefined) {
	const { rows, columns } = matrix;
	const roots = measured.map((_, r) => Math.sqrt(weights?.[r] ?? 1));
	const values = matrix.values.map((value, at) => value * (roots[Math.floor(at / columns)] as number));
	const columnLengths = Array.from({ length: columns }, (_, k) => {
		return length(Float64Array.from({ length: rows }, (_, r) => values[r * columns + k] as number)) || 1;
	});
	for (let at = 0; at < values.length; at++)
		values[at] = (values[at] as number) / (columnLengths[at % columns] as number);
	const rightHandSide = Float64Array.from(measured, (value, r) => value * (roots[r] as number));
	return { matrix: { rows, columns, values }, rightHandSide, columnLengths };
}
