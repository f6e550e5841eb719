import * as v from 'valibot';
import { flightNumber, scalar } from './kinds-flight.js';
import { fieldId, hashList, hashText, optionalName, sentence, unit, wholeFrom1 } from './text.js';

/** One field of the check's header: hours, work order, place, measuring gear with serial and calibration due … */
export const header = v.strictObject({ field: fieldId, value: scalar, unit });

/** Strikes an entry through; it stays readable and no longer counts. Empty reason: for one's own entries only. */
export const strike = v.strictObject({ target: hashText, reason: sentence });

/** Of entries that differ, the one that holds. A later differing entry opens the question again. */
export const agree = v.strictObject({
	chosen: hashText,
	over: v.pipe(hashList, v.minLength(1)),
	reason: sentence,
});

/** One item gone through before flight `flight`. */
export const review = v.strictObject({
	flight: wholeFrom1,
	item: fieldId,
	state: v.picklist(['confirmed', 'open']),
	text: v.optional(sentence),
});

/** Passing the check on: `given` by the one who leaves it, `taken` by the one who goes on. */
export const handover = v.strictObject({
	state: v.picklist(['given', 'taken']),
	to: v.optional(optionalName),
	/** Measuring gear still fitted to the aircraft. */
	gearFitted: v.pipe(v.array(optionalName), v.maxLength(32)),
	text: v.optional(sentence),
	/** The `given` entry this one answers. */
	given: v.optional(hashText),
});

/** The check or flight was stopped early. */
export const stopped = v.strictObject({
	flight: flightNumber,
	step: v.nullable(fieldId),
	reason: sentence,
});
