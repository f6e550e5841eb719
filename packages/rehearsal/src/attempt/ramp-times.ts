import { timeMovement } from '@stillmast/core/transition';
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
	/** Between neighbouring samples. */
	readonly steepestPctPerS: number;
}

/**
 * Times of a lever's movement between two positions, by the evaluator that times flights.
 * @param samples in order of time
 * @returns null when it did not get there, or fewer than 10 samples saw it move
 */
export function rampTimes(samples: readonly GaugeSample[], fromPct: number, toPct: number): RampTimes | null {
	const timed = timeMovement(samples, { from: fromPct, to: toPct });
	if (!timed.ok) return null;
	const { beginS, endS, total, equivalentLinear, steepestPerSecond } = timed.value;
	return {
		startS: beginS.valueS,
		endS: endS.valueS,
		totalS: total.valueS,
		equivalentS: equivalentLinear.valueS,
		steepestPctPerS: steepestPerSecond,
	};
}
