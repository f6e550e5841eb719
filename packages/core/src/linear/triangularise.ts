/**
 * Householder reduction of a column-major block in place: the first `pivots` columns become upper triangular and every
 * later column (right-hand sides among them) is turned along. Square-root form: no normal equations are ever built
 * (Golub & Van Loan, Matrix Computations, 5.2).
 * @param block rows × columns, element (i, j) at j·rows + i
 * @param firstDense rows from the diagonal to this one are known to be zero below it (an identity on top): passed over
 */
export function triangularise(
	block: Float64Array,
	rows: number,
	columns: number,
	pivots: number,
	firstDense = 0,
): void {
	const last = Math.min(pivots, rows - 1);
	for (let p = 0; p < last; p++) {
		const at = p * rows;
		const from = Math.max(p + 1, firstDense);
		let tail = 0;
		for (let i = from; i < rows; i++) tail += block[at + i]! * block[at + i]!;
		if (tail === 0) continue;
		const head = block[at + p]!;
		const size = Math.sqrt(head * head + tail);
		// the sign that doesn't cancel
		const diagonal = head > 0 ? -size : size;
		const lead = head - diagonal;
		const factor = 1 / (size * (size + Math.abs(head)));
		for (let j = p + 1; j < columns; j++) {
			const to = j * rows;
			let dot = lead * block[to + p]!;
			for (let i = from; i < rows; i++) dot += block[at + i]! * block[to + i]!;
			if (dot === 0) continue;
			dot *= factor;
			block[to + p]! -= dot * lead;
			for (let i = from; i < rows; i++) block[to + i]! -= dot * block[at + i]!;
		}
		block[at + p] = diagonal;
		for (let i = from; i < rows; i++) block[at + i] = 0;
	}
}
