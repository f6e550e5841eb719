import { exactKendallP } from './exact-kendall.js';
import { normalCdf } from './normal.js';

export interface TheilSen {
	/** Median of the slopes of all pairs. */
	readonly slope: number;
	/** 2.5 and 97.5 % by Sen's order statistics of the pair slopes. */
	readonly low95: number;
	readonly high95: number;
	/** Median of the residuals: the line through the middle of the points. */
	readonly intercept: number;
	/** Median of y less slope times median of x, as other programs have it. */
	readonly interceptOfMedians: number;
	readonly medianX: number;
	readonly medianY: number;
	/** Median over the points of the median slope from each to all others: holds while fewer than half are wrong. */
	readonly repeatedMedians: number;
}

export interface MannKendall {
	readonly s: number;
	readonly variance: number;
	readonly z: number;
	readonly p: number;
	/** The same from the distribution itself; null with ties and over 30 values. */
	readonly pExact: number | null;
	readonly tau: number;
}

/** 97.5 % point of the standard normal. */
const z975 = 1.959963984540054;

/** Theil–Sen line and its interval (source S-32). @param xs distinct neighbours; at least two different values */
export function theilSen(xs: readonly number[], ys: readonly number[]): TheilSen {
	const slopes = pairs(xs.length)
		.filter(([i, j]) => xs[i] !== xs[j])
		.map(([i, j]) => ((ys[j] ?? 0) - (ys[i] ?? 0)) / ((xs[j] ?? 0) - (xs[i] ?? 0)))
		.sort((a, b) => a - b);
	const slope = median(slopes);
	const half = z975 * Math.sqrt(scoreVariance(ys, xs));
	const lowAt = Math.max(0, Math.round((slopes.length - half) / 2) - 1);
	const highAt = Math.min(slopes.length - 1, Math.round((slopes.length + half) / 2));
	const [medianX, medianY] = [median([...xs].sort((a, b) => a - b)), median([...ys].sort((a, b) => a - b))];
	const residuals = ys.map((y, at) => y - slope * (xs[at] ?? 0)).sort((a, b) => a - b);
	return {
		slope,
		low95: slopes[lowAt] ?? slope,
		high95: slopes[highAt] ?? slope,
		intercept: median(residuals),
		interceptOfMedians: medianY - slope * medianX,
		medianX,
		medianY,
		repeatedMedians: repeatedMedians(xs, ys),
	};
}

function repeatedMedians(xs: readonly number[], ys: readonly number[]): number {
	const own = xs.map((x, i) =>
		median(
			xs
				.flatMap((other, j) => (other === x ? [] : [((ys[j] ?? 0) - (ys[i] ?? 0)) / (other - x)]))
				.sort((a, b) => a - b),
		),
	);
	return median(own.sort((a, b) => a - b));
}

/** Mann–Kendall test of a series for any steady rise or fall, ties corrected (source S-32). */
export function mannKendall(ys: readonly number[]): MannKendall {
	const s = pairs(ys.length).reduce((sum, [i, j]) => sum + Math.sign((ys[j] ?? 0) - (ys[i] ?? 0)), 0);
	const variance = scoreVariance(ys, []);
	// |S| − 1: S moves in steps of two, and the normal curve does not.
	const z = s === 0 || variance === 0 ? 0 : (s - Math.sign(s)) / Math.sqrt(variance);
	const pExact = new Set(ys).size === ys.length ? exactKendallP(ys.length, s) : null;
	return { s, variance, z, p: 2 * normalCdf(-Math.abs(z)), pExact, tau: s / ((ys.length * (ys.length - 1)) / 2) };
}

function scoreVariance(ys: readonly number[], xs: readonly number[]): number {
	const n = ys.length;
	const term = (size: number): number => size * (size - 1) * (2 * size + 5);
	const ties = [...tiesOf(ys), ...tiesOf(xs)].reduce((sum, size) => sum + term(size), 0);
	return Math.max(0, (term(n) - ties) / 18);
}

function tiesOf(values: readonly number[]): readonly number[] {
	const counts = new Map<number, number>();
	for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
	return [...counts.values()];
}

function pairs(count: number): readonly (readonly [number, number])[] {
	return Array.from({ length: count }, (_, i) => i).flatMap((i) =>
		Array.from({ length: count - i - 1 }, (_, k) => [i, i + k + 1] as const),
	);
}

export function median(sorted: readonly number[]): number {
	const middle = sorted.length >> 1;
	const upper = sorted[middle] ?? Number.NaN;
	return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? upper) + upper) / 2;
}
