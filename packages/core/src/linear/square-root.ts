/**
 * Rows whose squared lengths make the quadratic form y'Qy of a symmetric, positive semidefinite Q: an upper triangular
 * factor, rank-deficient rows left out. Q row-major, size × size.
 */
export function squareRootRows(form: Float64Array, size: number): number[][] {
	const work = Float64Array.from(form);
	let largest = 0;
	for (let i = 0; i < size; i++) largest = Math.max(largest, work[i * size + i]!);
	const rows: number[][] = [];
	for (let p = 0; p < size; p++) {
		const pivot = work[p * size + p]!;
		// what rounding leaves of a used-up direction
		if (pivot <= 1e-13 * largest) continue;
		const root = Math.sqrt(pivot);
		const row = new Array<number>(size).fill(0);
		for (let j = p; j < size; j++) row[j] = work[p * size + j]! / root;
		for (let i = p; i < size; i++) for (let j = p; j < size; j++) work[i * size + j]! -= row[i]! * row[j]!;
		rows.push(row);
	}
	return rows;
}
