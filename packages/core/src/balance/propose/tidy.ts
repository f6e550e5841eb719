/** Steps and sums are decimal numbers in a binary machine. */
export function tidy(value: number): number {
	return Math.round(value * 1e9) / 1e9 + 0;
}
