/**
 * Diagonal of H⁻¹ for a symmetric H ≥ 0 (row after row), by Cholesky. Where a column depends on earlier ones a ridge of
 * 1e-12 of its own diagonal stands in, so the answer there is large and finite.
 * @param out receives `size` numbers   @param work at least 2·size² numbers
 */
export function inverseDiagonal(size: number, hessian: Float64Array, out: Float64Array, work: Float64Array): void {
	const inverseAt = size * size;
	for (let p = 0; p < size; p++) {
		for (let q = 0; q < p; q++) {
			let sum = hessian[p * size + q]!;
			for (let s = 0; s < q; s++) sum -= work[p * size + s]! * work[q * size + s]!;
			work[p * size + q] = sum / work[q * size + q]!;
		}
		const own = hessian[p * size + p]!;
		let rest = own;
		for (let s = 0; s < p; s++) rest -= work[p * size + s]! ** 2;
		work[p * size + p] = Math.sqrt(Math.max(rest, 1e-12 * own, 1e-300));
	}
	// Column c of the inverse of the triangle; H⁻¹ has the squared lengths of its columns on the diagonal.
	for (let c = 0; c < size; c++) {
		let total = 0;
		for (let p = c; p < size; p++) {
			let sum = p === c ? 1 : 0;
			for (let s = c; s < p; s++) sum -= work[p * size + s]! * work[inverseAt + s]!;
			const value = sum / work[p * size + p]!;
			work[inverseAt + p] = value;
			total += value * value;
		}
		out[c] = total;
	}
}
