import type { Posterior } from '../learn/learn.js';
import { freshBends, type Outlook, type PartPlan, partsAt } from './outlook.js';

/** Levels of all channels together under one member: re, im of channel k at 2k, 2k + 1. */
export interface JointLevel {
	readonly weight: number;
	readonly mean: Float64Array;
	/** 2·channels square, symmetric. */
	readonly covariance: Float64Array;
}

/** The levels behind the readings at these settings, without the next run's scatter; one entry per member. */
export function levelsAt(
	posterior: Posterior,
	outlooks: readonly Outlook[],
	parts: PartPlan,
	settings: Float64Array,
): JointLevel[] {
	const y = partsAt(posterior, parts, settings);
	const fresh = freshBends(posterior, settings);
	return outlooks.map((outlook) => {
		const { width, own } = outlook;
		const channels = outlook.means.length;
		const size = 2 * channels;
		const mean = new Float64Array(size);
		const spread = new Float64Array(size * width);
		for (let k = 0; k < channels; k++) {
			const means = outlook.means[k]!;
			const spreads = outlook.spreads[k]!;
			for (let p = 0; p < y.length; p++) {
				const share = y[p]!;
				if (share === 0) continue;
				mean[2 * k]! += share * means[2 * p]!;
				mean[2 * k + 1]! += share * means[2 * p + 1]!;
				const from = 2 * p * width;
				const to = 2 * k * width;
				for (let i = 0; i < 2 * width; i++) spread[to + i]! += share * spreads[from + i]!;
			}
		}
		const covariance = new Float64Array(size * size);
		for (let a = 0; a < size; a++) {
			for (let b = 0; b <= a; b++) {
				// a channel's own unknowns tie only its two axes
				const from = a >> 1 === b >> 1 ? 0 : own;
				let sum = 0;
				for (let i = from; i < width; i++) sum += spread[a * width + i]! * spread[b * width + i]!;
				covariance[a * size + b] = sum;
				covariance[b * size + a] = sum;
			}
		}
		for (const bend of fresh) {
			const p = 2 * parts.adjusterPart(bend.adjuster);
			const pull = Float64Array.from({ length: size }, (_, a) => bend.sd * outlook.means[a >> 1]![p + (a & 1)]!);
			for (let a = 0; a < size; a++) for (let b = 0; b < size; b++) covariance[a * size + b]! += pull[a]! * pull[b]!;
		}
		return { weight: outlook.weight, mean, covariance };
	});
}
