import type { GaugeSample } from '../gauges/gauge.js';

/** Two times of one movement, since a hand's S-shaped ramp is shorter or longer by either. */
export interface RampTimes {
	/** When 2 % of the span was left behind, and when 98 % was reached. */
	readonly startS: number;
	readonly endS: number;
	/** 2 to 98 % of the span. */
	readonly totalS: number;
	/** 10 to 90 % of the span, divided by 0.8: the linear ramp of the same middle. */
	readonly equivalentS: number;
}

const fewestSamples = 10;

/**
 * Times of a movement between two positions.
 * @param samples in order of time
 * @returns null when it did not get there, or fewer than 10 samples saw it move
 */
export function rampTimes(samples: readonly GaugeSample[], fromPct: number, toPct: number): RampTimes | null {
	const share = samples.map(({ timeS, value }) => ({ timeS, share: (value - fromPct) / (toPct - fromPct) }));
	const startS = crossingS(share, 0.02);
	const endS = crossingS(share, 0.98);
	const tenthS = crossingS(share, 0.1);
	const ninetiethS = crossingS(share, 0.9);
	if (startS === null || endS === null || tenthS === null || ninetiethS === null) return null;
	const seen = samples.filter(({ timeS }) => timeS >= startS && timeS <= endS).length;
	if (seen < fewestSamples) return null;
	return { startS, endS, totalS: endS - startS, equivalentS: (ninetiethS - tenthS) / 0.8 };
}

interface Share {
	readonly timeS: number;
	readonly share: number;
}

/** Where the movement that got through the middle passed a level: below it the last time before, above it the first time after. */
function crossingS(all: readonly Share[], level: number): number | null {
	const middle = all.findIndex(({ share }) => share >= 0.5);
	if (middle < 0) return null;
	const at =
		level < 0.5
			? all.slice(0, middle).findLastIndex(({ share }) => share < level) + 1
			: all.findIndex(({ share }, index) => index >= middle && share >= level);
	const after = all[at];
	const before = all[at - 1];
	if (after === undefined || before === undefined) return null;
	const part = (level - before.share) / (after.share - before.share);
	return before.timeS + part * (after.timeS - before.timeS);
}
