import type { GaugeFigures } from '../gauges/gauge.js';

/** A timed power change to fly, and what may not be passed meanwhile. */
export interface RampTask {
	/** Lever, 0 down to 100 up. */
	readonly fromPct: number;
	readonly toPct: number;
	/** Time of the lever that the target means: equivalent linear, 10 to 90 % of the span divided by 0.8. */
	readonly targetS: number;
	/** Allowed to either side of the target, s. */
	readonly bandS: number;
	readonly limits: RampLimits;
	/** Largest distance of the lever from its end when the attempt is over. */
	readonly endBandPct: number;
	/** The look-ahead warning comes this long before the torque line at the present rate. */
	readonly lookAheadS: number;
	/** From the first step to "go", s; the lever should rest. */
	readonly countInS: number;
	/** From "go" until the attempt is over: peaks come after the lever stops. */
	readonly afterGoS: number;
}

export interface RampLimits {
	/** At most. */
	readonly torquePct: number;
	/** At least. */
	readonly nrPct: number;
	/** At most. */
	readonly totC: number;
}

/** Invented, as the Ouzel 3's type data: torque to 40 kt, rotor speed with power on, turbine temperature. */
export const ouzel3Limits: RampLimits = { torquePct: 100, nrPct: 97, totC: 780 };

/** The power transition of the Ouzel 3's card in so many seconds. Invented. */
export function ouzel3Ramp(targetS: number, limits: RampLimits = ouzel3Limits): RampTask {
	return {
		fromPct: 20,
		toPct: 80,
		targetS,
		// a hand's timing scatters in proportion to the time it keeps
		bandS: 0.15 * targetS,
		limits,
		endBandPct: 3,
		lookAheadS: 0.35,
		countInS: 3,
		afterGoS: targetS + 6,
	};
}

export type GaugeName = 'leverPct' | 'torquePct' | 'nrPct' | 'ngPct' | 'totC' | 'vibrationIps';

export const gaugeNames: readonly GaugeName[] = ['leverPct', 'torquePct', 'nrPct', 'ngPct', 'totC', 'vibrationIps'];

/** Invented gauges on one clock, with rare lost samples. The thermocouple's own lag is the engine's. */
export const ouzel3Gauges: Readonly<Record<GaugeName, GaugeFigures>> = {
	leverPct: { lagS: 0, noiseSd: 0.05, resolution: 0.1, rateHz: 50, dropShare: 0.002 },
	torquePct: { lagS: 0.06, noiseSd: 0.15, resolution: 0.1, rateHz: 50, dropShare: 0.002 },
	nrPct: { lagS: 0.05, noiseSd: 0.04, resolution: 0.1, rateHz: 50, dropShare: 0.002 },
	ngPct: { lagS: 0.05, noiseSd: 0.05, resolution: 0.1, rateHz: 50, dropShare: 0.002 },
	totC: { lagS: 0.05, noiseSd: 0.6, resolution: 1, rateHz: 50, dropShare: 0.002 },
	vibrationIps: { lagS: 0.2, noiseSd: 0.006, resolution: 0.01, rateHz: 50, dropShare: 0.002 },
};
