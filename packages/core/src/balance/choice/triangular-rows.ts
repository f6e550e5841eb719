import { matrixFrom, reduceToTriangle } from '../../linear/index.js';

/**
 * Rows with the same lengths for every vector they are applied to, but no more of them than columns: the reflections that
 * make them triangular keep ‖rows·v‖ for every v. Fewer rows come back unchanged.
 */
export function triangularRows(rows: readonly (readonly number[])[]): (readonly number[])[] {
	const width = rows[0]?.length ?? 0;
	if (rows.length <= width) return [...rows];
	const { upper, order } = reduceToTriangle(matrixFrom(rows), new Float64Array(rows.length));
	return Array.from({ length: order }, (_, r) => [...upper.subarray(r * order, (r + 1) * order)]);
}
