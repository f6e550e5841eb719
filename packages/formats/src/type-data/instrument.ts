import * as v from 'valibot';
import { angleDeg, id, words } from '../value/index.js';

/** An instrument the readings of this type come from, and how it states them. */
export const instrument = v.strictObject({
	id,
	name: words,
	convention: v.strictObject({
		unit: v.picklist(['ips', 'mm/s', 'g', 'mil', 'um']),
		reckoning: v.picklist(['peak', 'rms', 'peak-to-peak']),
		/** Which way its phase numbers grow: `lag` with the angle the rotor turns from the pulse to the positive peak. */
		phase: v.picklist(['lag', 'lead']),
		/** Pass angle of the blade that stands at the pickup when the pulse comes; 0 unless stated. */
		pulsePassAngleDeg: v.optional(angleDeg),
		/** −1 where its positive output is downward or to the other side; 1 unless stated. */
		polarity: v.optional(v.picklist([1, -1])),
	}),
});

export type InstrumentData = v.InferOutput<typeof instrument>;
