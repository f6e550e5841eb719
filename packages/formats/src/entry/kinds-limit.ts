import * as v from 'valibot';
import { attachments } from './attachment.js';
import { flightNumber } from './kinds-flight.js';
import { fieldId, finite, hashList, instant, notNegative, optionalName, sentence, unit } from './text.js';

/** What one person saw, asked alone. Null = cannot say. */
export const witness = v.strictObject({
	flight: flightNumber,
	parameter: fieldId,
	unit,
	/** Furthest value surely seen, and furthest it may have been. */
	peakSure: v.nullable(finite),
	peakPossible: v.nullable(finite),
	/** Value the times refer to; null = the limit line itself. */
	above: v.nullable(finite),
	timeAtLeastS: v.nullable(notNegative),
	timeAtMostS: v.nullable(notNegative),
	/** Phase of flight in the card's words. */
	phase: optionalName,
	askedAlone: v.boolean(),
	text: v.optional(sentence),
});

/** What an instrument kept by itself. */
export const memory = v.strictObject({
	flight: flightNumber,
	parameter: fieldId,
	unit,
	peak: v.nullable(finite),
	peakAccuracy: v.nullable(notNegative),
	/** Time above `threshold`; both null where the instrument does not keep it. */
	timeAboveS: v.nullable(notNegative),
	timeAccuracyS: v.nullable(notNegative),
	threshold: v.nullable(finite),
	/** When its memory was last cleared; null = not known, so the value may be older than this flight. */
	clearedAt: v.nullable(instant),
	instrument: optionalName,
	text: v.optional(sentence),
	attachments: v.optional(attachments),
});

/** Judgement on a limit passed, by somebody with authority: who (the writer), why, on what. */
export const decision = v.strictObject({
	flight: flightNumber,
	parameter: fieldId,
	line: v.nullable(fieldId),
	finding: v.picklist(['passed', 'possible', 'not-passed']),
	/** Upper bounds as narrowed by this decision; null = not narrowed. */
	peakAtMost: v.nullable(finite),
	timeAtMostS: v.nullable(notNegative),
	/** Entries it rests on. */
	evidence: hashList,
	reason: v.pipe(sentence, v.minLength(1)),
	/** Approved data that governs, and what it asks for. */
	reference: optionalName,
	action: sentence,
});
