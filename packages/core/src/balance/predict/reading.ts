import { runVariance, withinVariance } from '../learn/noise.js';
import type { Posterior } from '../learn/posterior.js';
import type { JointLevel } from './level.js';

/** Scatter of the next run's reading of each channel: per axis, what is its own and what all channels share. */
export interface NextScatter {
	readonly ownVariance: Float64Array;
	readonly sharedSd: Float64Array;
}

/** So that a stated scatter of 0 leaves a proper distribution. */
const leastVariance = 1e-12;

/** Scatter at the level the members expect: it grows with amplitude where the noise is relative. */
export function nextScatter(posterior: Posterior, levels: readonly JointLevel[]): NextScatter {
	const { layout } = posterior;
	const share = layout.problem.noise.commonShare ?? 0;
	const channels = layout.channels.length;
	const ownVariance = new Float64Array(channels);
	const sharedSd = new Float64Array(channels);
	for (let k = 0; k < channels; k++) {
		let square = 0;
		for (const { weight, mean, covariance } of levels) {
			const size = 2 * channels;
			const a = 2 * k;
			square +=
				weight * (mean[a]! ** 2 + mean[a + 1]! ** 2 + covariance[a * size + a]! + covariance[(a + 1) * size + a + 1]!);
		}
		const between = runVariance(layout, Math.sqrt(square), 0);
		ownVariance[k] = Math.max(leastVariance, (1 - share) * between + typicalWithin(posterior, k));
		sharedSd[k] = Math.sqrt(share * between);
	}
	return { ownVariance, sharedSd };
}

/** Within-run variance to expect of a channel: the mean of what its readings showed. */
function typicalWithin(posterior: Posterior, k: number): number {
	const { layout } = posterior;
	const read = layout.runs.map((run) => run.readings[k] ?? null).filter((reading) => reading !== null);
	if (read.length === 0) return withinVariance(layout, null);
	return read.reduce((sum, reading) => sum + withinVariance(layout, reading), 0) / read.length;
}

/** The levels with the next run's scatter added: what the instrument will show. */
export function readingsFrom(levels: readonly JointLevel[], scatter: NextScatter): JointLevel[] {
	const channels = scatter.ownVariance.length;
	const size = 2 * channels;
	return levels.map(({ weight, mean, covariance }) => {
		const sum = covariance.slice();
		for (let a = 0; a < size; a++) {
			sum[a * size + a]! += scatter.ownVariance[a >> 1]!;
			for (let b = a & 1; b < size; b += 2) sum[a * size + b]! += scatter.sharedSd[a >> 1]! * scatter.sharedSd[b >> 1]!;
		}
		return { weight, mean, covariance: sum };
	});
}
