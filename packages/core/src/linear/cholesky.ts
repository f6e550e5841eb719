/**
 * Lower triangle L with L·L' = the symmetric, positive semidefinite matrix, row-major; directions that are used up get
 * a zero column instead of rounding noise.
 */
export function lowerTriangle(matrix: Float64Array, size: number): Float64Array {
	const lower = new Float64Array(size * size);
	for (let j = 0; j < size; j++) {
		let pivot = matrix[j * size + j]!;
		const whole = pivot;
		for (let p = 0; p < j; p++) pivot -= lower[j * size + p]! ** 2;
		if (pivot <= 1e-13 * whole) continue;
		const root = Math.sqrt(pivot);
		lower[j * size + j] = root;
		for (let i = j + 1; i < size; i++) {
			let sum = matrix[i * size + j]!;
			for (let p = 0; p < j; p++) sum -= lower[i * size + p]! * lower[j * size + p]!;
			lower[i * size + j] = sum / root;
		}
	}
	return lower;
}
