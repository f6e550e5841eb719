import { riceCdf, riceQuantile } from '../phasor/index.js';

/** Where a reading lies against its limit, and whether its 95 % range reaches over it. @rule RDG-1 */
export type ReadingSide = 'inside' | 'near-inside' | 'near-outside' | 'outside';

export interface ReadingJudgement {
	readonly side: ReadingSide;
	readonly amplitudeIps: number;
	/** 2.5 and 97.5 % points of the level behind the reading. */
	readonly low95Ips: number;
	readonly high95Ips: number;
	/** That the level behind the reading is above the limit; 0 to 1. */
	readonly chanceTrueLevelAbove: number;
}

/** Scatter that a type expects of a reading, per axis. */
export interface ReadingNoise {
	readonly sdIps: number;
	/** Share of the amplitude that adds to it. */
	readonly sdRelative: number;
}

/**
 * Scatter of one reading per axis, ips: the type's run-to-run scatter, its share of the amplitude, and the reading's
 * own within-run scatter where it has one, added as variances.
 */
export function readingSdIps(amplitudeIps: number, noise: ReadingNoise, withinSdIps = 0): number {
	return Math.hypot(noise.sdIps, noise.sdRelative * amplitudeIps, withinSdIps);
}

/**
 * One reading against its limit. The side follows the number alone, as manuals compare it: exactly on the limit is
 * inside. Sureness stands beside it: with circular Gaussian scatter and no other knowledge of the phasor, the level
 * behind a reading follows the Rice distribution about the reading (source S-15).
 * @param amplitudeIps peak velocity ≥ 0
 * @param sdIps scatter per axis ≥ 0
 * @param limitIps > 0
 * @example judgeReading(0.19, 0.02, 0.2).side // 'near-inside'
 */
export function judgeReading(amplitudeIps: number, sdIps: number, limitIps: number): ReadingJudgement {
	const low95Ips = riceQuantile(0.025, amplitudeIps, sdIps);
	const high95Ips = riceQuantile(0.975, amplitudeIps, sdIps);
	return {
		side: sideOf(amplitudeIps, low95Ips, high95Ips, limitIps),
		amplitudeIps,
		low95Ips,
		high95Ips,
		chanceTrueLevelAbove: 1 - riceCdf(limitIps, amplitudeIps, sdIps),
	};
}

function sideOf(amplitude: number, low: number, high: number, limit: number): ReadingSide {
	if (amplitude <= limit) return high > limit ? 'near-inside' : 'inside';
	return low <= limit ? 'near-outside' : 'outside';
}
