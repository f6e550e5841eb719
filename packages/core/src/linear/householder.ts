import { triangularise } from './triangularise.js';

/** A dense real matrix, row by row. */
export interface Matrix {
	readonly rows: number;
	readonly columns: number;
	/** `rows × columns` numbers; row r starts at r·columns. */
	readonly values: Float64Array;
}

/** Builds a matrix from rows of equal length. Throws when the rows differ in length: that is a programmer error. */
export function matrixFrom(rows: readonly (readonly number[])[]): Matrix {
	const columns = rows[0]?.length ?? 0;
	const values = new Float64Array(rows.length * columns);
	rows.forEach((row, r) => {
		if (row.length !== columns) throw new RangeError(`row ${r} has ${row.length} numbers, the first has ${columns}`);
		values.set(row, r * columns);
	});
	return { rows: rows.length, columns, values };
}

/** What a Householder reduction leaves: the triangle, and the right-hand side turned by the same reflections. */
export interface Triangle {
	/** `order × order`, row by row, zero below the diagonal; row k belongs to column k of the matrix as given. */
	readonly upper: Float64Array;
	readonly order: number;
	/** The first `order` numbers of the turned right-hand side. */
	readonly head: Float64Array;
	/** The rest of it: its length is the length of the least-squares residual. */
	readonly tail: Float64Array;
}

/**
 * Reduces [A | b] to triangular form by Householder reflections, without ever forming AᵀA: that would square the
 * condition number. Columns keep their order. A has at least as many rows as columns.
 */
export function reduceToTriangle(matrix: Matrix, rightHandSide: Float64Array): Triangle {
	const { rows, columns, values } = matrix;
	if (rightHandSide.length !== rows) throw new RangeError('the right-hand side needs one number per row');
	if (rows < columns) throw new RangeError('fewer rows than columns');
	const block = new Float64Array(rows * (columns + 1));
	for (let r = 0; r < rows; r++)
		for (let c = 0; c < columns; c++) block[c * rows + r] = values[r * columns + c] as number;
	block.set(rightHandSide, columns * rows);
	triangularise(block, rows, columns + 1, columns);
	const upper = new Float64Array(columns * columns);
	for (let r = 0; r < columns; r++)
		for (let c = r; c < columns; c++) upper[r * columns + c] = block[c * rows + r] as number;
	const turned = block.subarray(columns * rows);
	return { upper, order: columns, head: turned.slice(0, columns), tail: turned.slice(columns) };
}

/** Solves U·x = y for an upper triangle by back substitution. The caller proves the diagonal is not zero. */
export function backSubstitute(upper: Float64Array, order: number, y: Float64Array): Float64Array {
	const x = Float64Array.from(y);
	for (let k = order - 1; k >= 0; k--) {
		let rest = x[k] as number;
		for (let c = k + 1; c < order; c++) rest -= (upper[k * order + c] as number) * (x[c] as number);
		x[k] = rest / (upper[k * order + k] as number);
	}
	return x;
}

/** Solves Uᵀ·x = y for an upper triangle by forward substitution. The caller proves the diagonal is not zero. */
export function forwardSubstitute(upper: Float64Array, order: number, y: Float64Array): Float64Array {
	const x = Float64Array.from(y);
	for (let k = 0; k < order; k++) {
		let rest = x[k] as number;
		for (let r = 0; r < k; r++) rest -= (upper[r * order + k] as number) * (x[r] as number);
		x[k] = rest / (upper[k * order + k] as number);
	}
	return x;
}
