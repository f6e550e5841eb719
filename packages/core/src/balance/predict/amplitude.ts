import { riceCdf, riceFromMoments, riceQuantile } from '../../phasor/index.js';
import type { JointLevel } from './level.js';

/** The distribution of an amplitude as a mixture of Rice distributions. */
export type AmplitudeMixture = readonly {
	readonly weight: number;
	readonly noncentrality: number;
	readonly sd: number;
}[];

/** Distribution of one channel's amplitude; each member's spread matched in mean and variance of the square. */
export function amplitudeOf(levels: readonly JointLevel[], k: number): AmplitudeMixture {
	return levels.map(({ weight, mean, covariance }) => {
		const size = mean.length;
		const at = 2 * k;
		const re = mean[at]!;
		const im = mean[at + 1]!;
		const a = covariance[at * size + at]!;
		const b = covariance[(at + 1) * size + at + 1]!;
		const c = covariance[at * size + at + 1]!;
		const square = re * re + im * im + a + b;
		const variance = 2 * (a * a + b * b + 2 * c * c) + 4 * (re * re * a + im * im * b + 2 * re * im * c);
		return { weight, ...riceFromMoments(square, variance) };
	});
}

export function chanceBelow(mixture: AmplitudeMixture, limitIps: number): number {
	let chance = 0;
	for (const m of mixture) chance += m.weight * riceCdf(limitIps, m.noncentrality, m.sd);
	return Math.min(1, Math.max(0, chance));
}

/** The amplitude that is not exceeded with this probability, by the Illinois form of false position. */
export function quantileOf(mixture: AmplitudeMixture, probability: number): number {
	const first = mixture[0];
	if (first === undefined) return 0;
	if (mixture.length === 1) return riceQuantile(probability, first.noncentrality, first.sd);
	let low = 0;
	let atLow = -probability;
	let high = Math.max(...mixture.map((m) => m.noncentrality + 3 * m.sd)) + 1e-9;
	let atHigh = chanceBelow(mixture, high) - probability;
	while (atHigh < 0) {
		high *= 1.5;
		atHigh = chanceBelow(mixture, high) - probability;
	}
	let side = 0;
	for (let i = 0; i < 80 && high - low > 1e-7 * high; i++) {
		const x = (low * atHigh - high * atLow) / (atHigh - atLow);
		const at = chanceBelow(mixture, x) - probability;
		if (Math.abs(at) < 1e-7) return x;
		if (at < 0) {
			low = x;
			atLow = at;
			if (side === -1) atHigh /= 2;
			side = -1;
		} else {
			high = x;
			atHigh = at;
			if (side === 1) atLow /= 2;
			side = 1;
		}
	}
	return (low + high) / 2;
}
