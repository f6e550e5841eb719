import type { VibrationScale } from '../units/index.js';

/** Which way a phase number grows. `lag`: with the angle the rotor turns from the pulse to the positive peak. */
export type PhaseSense = 'lag' | 'lead';

/** How an instrument states a once-per-rev reading. Type data hold one per instrument; nothing else in the product differs from the inner form. */
export interface Convention {
	readonly scale: VibrationScale;
	readonly phase: PhaseSense;
	/** Pass angle of the blade or mark that stands at the pickup when the pulse comes; 0 for the reference blade. */
	readonly pulsePassAngleDeg: number;
	/** −1 where the sensor's positive output is the opposite of the product's positive direction. */
	readonly polarity: 1 | -1;
}

/** The inner form: peak velocity in ips, lag from the reference blade's pulse. */
export const innerConvention: Convention = {
	scale: { unit: 'ips', reckoning: 'peak' },
	phase: 'lag',
	pulsePassAngleDeg: 0,
	polarity: 1,
};

/** A reading as the instrument states it. A phase that was not measured is null and stays null. */
export interface StatedReading {
	readonly level: number;
	readonly phaseDeg: number | null;
}

/** A reading in the inner form. */
export interface InnerReading {
	readonly amplitudeIps: number;
	readonly phaseDeg: number | null;
}
