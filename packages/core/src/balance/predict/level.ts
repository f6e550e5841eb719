import type { Posterior } from '../learn/posterior.js';
import { freshBends, type Outlook, type PartPlan, partsAt } from './outlook.js';

/** Levels of all channels together under one member: re, im of channel k at 2k, 2k + 1. */
export interface JointLevel {
	readonly weight: number;
	readonly mean: Float64Array;
	/** 2·channels square, symmetric. */
	readonly covariance: Float64Array;
}

/** How much of a part is there; complex where a change may have been made elsewhere on the rotor. */
export interface PartShare {
	readonly part: number;
	readonly re: number;
	readonly im: number;
}

/** A part whose setting is uncertain by `sd`, on top of what is learned. */
export interface PartError {
	readonly part: number;
	readonly sd: number;
}

/** The levels behind the readings at these settings, without the next run's scatter; one entry per member. */
export function levelsAt(
	posterior: Posterior,
	outlooks: readonly Outlook[],
	parts: PartPlan,
	settings: Float64Array,
): JointLevel[] {
	const shares = Array.from(partsAt(posterior, parts, settings), (re, part) => ({ part, re, im: 0 }));
	const errors = freshBends(posterior, settings).map((b) => ({ part: parts.adjusterPart(b.adjuster), sd: b.sd }));
	return outlooks.map((outlook) => levelOf(outlook, shares, errors));
}

/** Mean and covariance of Σ share·part over all channels, under one member. */
export function levelOf(outlook: Outlook, shares: readonly PartShare[], errors: readonly PartError[]): JointLevel {
	const { width, own } = outlook;
	const channels = outlook.means.length;
	const size = 2 * channels;
	const mean = new Float64Array(size);
	const spread = new Float64Array(size * width);
	for (const { part, re, im } of shares) {
		if (re === 0 && im === 0) continue;
		for (let k = 0; k < channels; k++) {
			const m = outlook.means[k]!;
			const s = outlook.spreads[k]!;
			mean[2 * k]! += re * m[2 * part]! - im * m[2 * part + 1]!;
			mean[2 * k + 1]! += re * m[2 * part + 1]! + im * m[2 * part]!;
			const from = 2 * part * width;
			const to = 2 * k * width;
			for (let i = 0; i < width; i++) {
				const a = s[from + i]!;
				const b = s[from + width + i]!;
				spread[to + i]! += re * a - im * b;
				spread[to + width + i]! += re * b + im * a;
			}
		}
	}
	const pulls = errors.map(({ part, sd }) =>
		Float64Array.from({ length: size }, (_, a) => sd * outlook.means[a >> 1]![2 * part + (a & 1)]!),
	);
	const covariance = new Float64Array(size * size);
	for (let a = 0; a < size; a++) {
		for (let b = 0; b <= a; b++) {
			// a channel's own unknowns tie only its two axes
			let sum = 0;
			for (let i = a >> 1 === b >> 1 ? 0 : own; i < width; i++) sum += spread[a * width + i]! * spread[b * width + i]!;
			for (const pull of pulls) sum += pull[a]! * pull[b]!;
			covariance[a * size + b] = sum;
			covariance[b * size + a] = sum;
		}
	}
	return { weight: outlook.weight, mean, covariance };
}
