/** Columns side by side, each as wide as its widest cell; numbers are handed in as text and set to the right. */
export function table(rows: readonly (readonly string[])[], right: readonly number[] = [], indent = '  '): string {
	const widths: number[] = [];
	for (const row of rows)
		row.forEach((cell, at) => {
			widths[at] = Math.max(widths[at] ?? 0, cell.length);
		});
	return rows
		.map((row) => {
			const cells = row.map((cell, at) =>
				right.includes(at) ? cell.padStart(widths[at] ?? 0) : cell.padEnd(widths[at] ?? 0),
			);
			return `${indent}${cells.join('  ')}`.trimEnd();
		})
		.join('\n');
}
