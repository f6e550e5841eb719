import * as v from 'valibot';
import { finite, notNegative, wholeFrom0, wholeFrom1 } from '../entry/text.js';

const measured = v.nullable(finite);

/** What `stillmast rehearse --json` answers: attempts of a scripted pilot at a timed power change. All invented. */
export const rehearsalSchema = v.strictObject({
	format: v.literal('stillmast/rehearsal@1'),
	/** Helicopter, limits and pilot are invented: nothing here was flown. */
	invented: v.literal(true),
	seed: wholeFrom0,
	usesWarning: v.boolean(),
	task: v.strictObject({
		fromPct: finite,
		toPct: finite,
		targetS: notNegative,
		bandS: notNegative,
		limits: v.strictObject({ torquePct: finite, nrPct: finite, totC: finite }),
	}),
	attempts: v.array(
		v.strictObject({
			attempt: wholeFrom1,
			/** Null when the movement could not be timed. */
			times: v.nullable(v.looseObject({ totalS: notNegative, equivalentS: notNegative })),
			peakTorquePct: measured,
			leastNrPct: measured,
			peakTotC: measured,
			endLeverPct: measured,
			faults: v.array(v.picklist(['too-fast', 'too-slow', 'torque', 'rotor-speed', 'temperature', 'lever-end'])),
			/** False with no faults: it could not be told. */
			isInside: v.boolean(),
		}),
	),
});

export type RehearsalDocument = v.InferOutput<typeof rehearsalSchema>;
