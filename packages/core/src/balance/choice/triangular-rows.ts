/**
 * Rows with the same lengths for every vector they are applied to, but no more of them than columns: Householder
 * reflections to upper triangular form (orthogonal, so ‖rows·v‖ is kept for every v). Fewer rows come back unchanged.
 * Source: textbook method (G. H. Golub, C. F. Van Loan, Matrix Computations, section 5.2), from memory.
 */
export function triangularRows(rows: readonly (readonly number[])[]): number[][] {
	const work = rows.map((row) => [...row]);
	const width = work[0]?.length ?? 0;
	if (work.length <= width) return work;
	for (let c = 0; c < width; c++) {
		let square = 0;
		for (let r = c; r < work.length; r++) square += work[r]![c]! ** 2;
		const length = Math.sqrt(square);
		if (length === 0) continue;
		const pivot = work[c]![c]!;
		const image = pivot > 0 ? -length : length;
		const normal = work.slice(c).map((row) => row[c]!);
		normal[0] = pivot - image;
		const normalSquare = 2 * (square - pivot * image);
		for (let j = c; j < width; j++) {
			let dot = 0;
			for (let r = c; r < work.length; r++) dot += normal[r - c]! * work[r]![j]!;
			const factor = (2 * dot) / normalSquare;
			for (let r = c; r < work.length; r++) work[r]![j]! -= factor * normal[r - c]!;
		}
		for (let r = c + 1; r < work.length; r++) work[r]![c] = 0;
	}
	return work.slice(0, width);
}
