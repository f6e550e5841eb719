import { lowerTriangle } from '../../linear/index.js';
import { type RotorLayout, wasRead } from '../learn/layout.js';
import { randomFrom } from '../random.js';
import type { JointLevel } from './level.js';

/** Chances that every channel ever read is inside together in the next run. */
export interface JointChance {
	readonly allWithinLimit: number;
	readonly allWithinGoal: number;
}

/**
 * By seeded draws of the readings, all channels at once: channels share the table's error and the gust, so a product of
 * their chances would be far too small. The same seed gives every candidate the same luck, which makes them comparable.
 */
export function jointChance(
	layout: RotorLayout,
	readings: readonly JointLevel[],
	draws: number,
	seed: number,
): JointChance {
	// a channel that was never read can't be promised
	const promised = (value: number, k: number): number => (wasRead(layout, k) ? value : Number.POSITIVE_INFINITY);
	const limits = layout.channels.map((c, k) => promised(c.limitIps, k));
	const goals = layout.channels.map((c, k) => promised(c.goalIps ?? c.limitIps, k));
	const random = randomFrom(seed);
	const size = 2 * limits.length;
	const normals = new Float64Array(size);
	let drawn = 0;
	let reached = 0;
	let limitHits = 0;
	let goalHits = 0;
	for (const { weight, mean, covariance } of readings) {
		const lower = lowerTriangle(covariance, size);
		reached += weight * draws;
		for (; drawn < Math.round(reached); drawn++) {
			for (let i = 0; i < size; i++) normals[i] = random.normal();
			let inLimit = true;
			let inGoal = true;
			for (let k = 0; k < limits.length && inLimit; k++) {
				let re = mean[2 * k]!;
				let im = mean[2 * k + 1]!;
				const a = 2 * k * size;
				const b = a + size;
				for (let i = 0; i <= 2 * k + 1; i++) {
					const z = normals[i]!;
					re += lower[a + i]! * z;
					im += lower[b + i]! * z;
				}
				const square = re * re + im * im;
				if (square > limits[k]! ** 2) inLimit = false;
				if (square > goals[k]! ** 2) inGoal = false;
			}
			if (inLimit) limitHits++;
			if (inLimit && inGoal) goalHits++;
		}
	}
	return { allWithinLimit: limitHits / Math.max(1, drawn), allWithinGoal: goalHits / Math.max(1, drawn) };
}
