/** A share with its 95 % interval by Wilson's score. */
export interface Share {
	readonly hits: number;
	readonly of: number;
	readonly share: number;
	readonly low95: number;
	readonly high95: number;
}

export function shareOf(hits: number, of: number): Share {
	if (of === 0) return { hits, of, share: Number.NaN, low95: 0, high95: 1 };
	const z = 1.96;
	const share = hits / of;
	const centre = (share + z ** 2 / (2 * of)) / (1 + z ** 2 / of);
	const half = (z / (1 + z ** 2 / of)) * Math.sqrt((share * (1 - share)) / of + z ** 2 / (4 * of ** 2));
	return { hits, of, share, low95: Math.max(0, centre - half), high95: Math.min(1, centre + half) };
}

/**
 * A share of readings that come in groups (those of one rotor are not independent): the interval is from the spread
 * between the groups, as for a ratio of sums.
 */
export function groupedShare(groups: readonly { hits: number; of: number }[]): Share {
	const hits = groups.reduce((sum, group) => sum + group.hits, 0);
	const of = groups.reduce((sum, group) => sum + group.of, 0);
	const share = hits / of;
	const square = groups.reduce((sum, group) => sum + (group.hits - share * group.of) ** 2, 0);
	const n = groups.length;
	const half = (1.96 * Math.sqrt((square * n) / Math.max(1, n - 1))) / of;
	return { hits, of, share, low95: Math.max(0, share - half), high95: Math.min(1, share + half) };
}

export interface Mean {
	readonly mean: number;
	readonly half95: number;
	readonly n: number;
}

export function meanOf(values: readonly number[]): Mean {
	const n = values.length;
	const mean = values.reduce((sum, value) => sum + value, 0) / n;
	const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, n - 1);
	return { mean, half95: 1.96 * Math.sqrt(variance / n), n };
}

/** The value a share `p` of the values does not exceed (0 to 1), an observed one. */
export function quantile(values: readonly number[], p: number): number {
	const sorted = [...values].sort((a, b) => a - b);
	return sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(p * sorted.length) - 1))] ?? Number.NaN;
}
