import type { Clock } from '../ports.js';

/** How fast one connection may send: `burst` at once, then `perSecond`. */
export interface PaceSize {
	readonly perSecond: number;
	readonly burst: number;
}

export interface SeatLimits {
	readonly frames: PaceSize;
	readonly bytes: PaceSize;
}

/** A device that was away for a day comes back within the bursts; only what never stops meets the pace. */
export const seatLimits: SeatLimits = {
	frames: { perSecond: 200, burst: 2_000 },
	bytes: { perSecond: 1024 * 1024, burst: 32 * 1024 * 1024 },
};

/** Says how long something has to wait so that the pace is kept; never refuses. */
export function createPace(clock: Clock, { perSecond, burst }: PaceSize): (cost: number) => number {
	let left = burst;
	let atMs = clock.monotonicMs();
	return (cost) => {
		const nowMs = clock.monotonicMs();
		left = Math.min(burst, left + ((nowMs - atMs) / 1_000) * perSecond) - cost;
		atMs = nowMs;
		return left >= 0 ? 0 : (-left / perSecond) * 1_000;
	};
}
