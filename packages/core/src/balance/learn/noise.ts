import type { Reading } from '../model.js';
import type { RotorLayout } from './layout.js';

/** Scatter of every reading, split into what is its own and what all channels of a run share. Per axis, ips. */
export interface Scatter {
	/** Of (run r, channel k) at r·channels + k. */
	readonly ownSd: Float64Array;
	readonly sharedSd: Float64Array;
}

/** Run-to-run variance per axis at a level of amplitude: what a repeat of the run would show. */
export function runVariance(layout: RotorLayout, levelIps: number, extraSdIps: number): number {
	const { noise } = layout.problem;
	return noise.sdIps ** 2 + ((noise.sdRelative ?? 0) * levelIps) ** 2 + extraSdIps ** 2;
}

/** Within-run variance of the mean: the reading's own, else the type's. */
export function withinVariance(layout: RotorLayout, reading: Reading | null): number {
	return (reading?.sdIps ?? layout.problem.noise.withinSdIps ?? 0) ** 2;
}

/** No reading is better than this, so that a stated scatter of 0 doesn't stop the arithmetic. */
const leastSdIps = 1e-6;

/**
 * `levels` are amplitudes behind the readings: measured at first, fitted later, as a low reading isn't a better one.
 * Work off the rotor lets the fault drift by about one run-to-run scatter: runs before it count that much less.
 */
export function scatterAt(layout: RotorLayout, levels: Float64Array): Scatter {
	const { channels, runs, problem } = layout;
	const share = problem.noise.commonShare ?? 0;
	const ownSd = new Float64Array(runs.length * channels.length);
	const sharedSd = new Float64Array(runs.length * channels.length);
	for (const [r, run] of runs.entries()) {
		const drifted = runs.slice(r + 1).filter((later) => later.run.workSince === 'not-on-rotor').length;
		const extra = Math.hypot(run.run.context?.extraSdIps ?? 0, Math.sqrt(drifted) * problem.noise.sdIps);
		for (let k = 0; k < channels.length; k++) {
			const at = r * channels.length + k;
			const between = runVariance(layout, levels[at]!, extra);
			const within = withinVariance(layout, run.readings[k] ?? null);
			ownSd[at] = Math.max(leastSdIps, Math.sqrt((1 - share) * between + within));
			sharedSd[at] = Math.sqrt(share * between);
		}
	}
	return { ownSd, sharedSd };
}
