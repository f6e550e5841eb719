import * as v from 'valibot';
import { attachments } from './attachment.js';
import {
	fieldId,
	finite,
	hashList,
	hashText,
	instant,
	name,
	notNegative,
	optionalName,
	sentence,
	unit,
	wholeFrom0,
	wholeFrom1,
} from './text.js';

/** Flights are numbered from 1 in the order flown; 0 = on the ground before the first. */
export const flightNumber = wholeFrom0;
export const scalar = v.union([finite, v.boolean(), v.pipe(v.string(), v.maxLength(500))]);

export const weather = v.strictObject({
	oatC: v.optional(finite),
	qnhHpa: v.optional(notNegative),
	pressureAltitudeFt: v.optional(finite),
	windFromDeg: v.optional(finite),
	windKt: v.optional(notNegative),
	text: v.optional(sentence),
});

export const flight = v.strictObject({
	flight: wholeFrom1,
	state: v.picklist(['opened', 'closed']),
	crew: v.optional(v.pipe(v.array(v.strictObject({ seat: optionalName, name })), v.maxLength(12))),
	massKg: v.optional(notNegative),
	cgMm: v.optional(finite),
	fuelKg: v.optional(notNegative),
	weather: v.optional(weather),
	text: v.optional(sentence),
});

/** `later` and `left-out` need a reason; `done` may carry a remark there. */
export const step = v.strictObject({
	flight: flightNumber,
	step: fieldId,
	state: v.picklist(['done', 'later', 'left-out']),
	reason: v.optional(sentence),
});

/** One value of one field. Two unstruck readings of one field and run stand side by side until agreed. */
export const reading = v.strictObject({
	flight: flightNumber,
	run: v.nullable(wholeFrom1),
	step: v.optional(fieldId),
	/** Field id, such as `torquePct` or `track/main/hover/A`. */
	subject: fieldId,
	value: scalar,
	unit,
	/** Smallest difference the instrument shows; two readings within it do not differ. */
	resolution: v.optional(notNegative),
	/** Scatter of the value, same unit. */
	sd: v.optional(notNegative),
	/** The digits as they stood on the instrument or paper, when they say more than the number. */
	written: v.optional(optionalName),
	instrument: v.optional(optionalName),
	attachments: v.optional(attachments),
});

/** A condition kept steady; counts only the time inside. */
export const hold = v.strictObject({
	flight: flightNumber,
	run: v.nullable(wholeFrom1),
	step: v.nullable(fieldId),
	neededS: notNegative,
	heldS: notNegative,
	/** True when the whole needed time was kept inside. */
	complete: v.boolean(),
	/** Field of the card that was held, with its part where it has several (`heater/on`). */
	field: v.optional(fieldId),
	/** What a feed showed of each parameter over the hold; averages of the recording part. */
	parameters: v.optional(
		v.record(
			fieldId,
			v.strictObject({
				mean: finite,
				sd: notNegative,
				span: v.optional(notNegative),
				slopePerMinute: v.optional(finite),
			}),
		),
	),
	/** Why it did not count, as codes: `span`, `slope`, `gap`, `limit-reached`, `left` … */
	because: v.optional(v.pipe(v.array(fieldId), v.maxLength(24))),
});

/** One tap at a moment worth finding again, with gauge values at that moment where a feed gave them. */
export const mark = v.strictObject({
	flight: flightNumber,
	step: v.nullable(fieldId),
	text: v.optional(sentence),
	values: v.optional(v.record(fieldId, finite)),
});

/**
 * At most one minute of recorded channels. Chunks are blobs of at most 48 KiB, in order: rows of one time (Float64 LE,
 * seconds) and one value per channel (Float32 LE).
 */
export const trace = v.strictObject({
	flight: flightNumber,
	feed: optionalName,
	startAt: instant,
	startS: finite,
	periodS: notNegative,
	rows: wholeFrom1,
	channels: v.pipe(v.array(v.strictObject({ id: fieldId, unit })), v.minLength(1), v.maxLength(128)),
	chunks: v.pipe(v.array(hashText), v.minLength(1), v.maxLength(128)),
	/** Gaps, repeats and backward times found while recording, none removed. */
	faults: v.optional(v.strictObject({ gaps: wholeFrom0, repeats: wholeFrom0, backward: wholeFrom0 })),
});

/** One try at a timed transition, with what was measured and what it was judged against. */
export const attempt = v.strictObject({
	flight: flightNumber,
	step: v.nullable(fieldId),
	attempt: wholeFrom1,
	/** Field of the card that was tried. */
	field: v.optional(fieldId),
	/** The signal timed: a channel id such as `leverPct`, or `crew-call`. */
	signal: fieldId,
	totalS: v.nullable(notNegative),
	equivalentLinearS: v.nullable(notNegative),
	/** Least and most that the samples leave the time of the aim. */
	rangeS: v.optional(v.tuple([notNegative, notNegative])),
	/** Duration that the crew called or timed by hand; its range is the hand's. */
	calledS: v.optional(notNegative),
	steepestPctPerS: v.nullable(finite),
	rampSamples: wholeFrom0,
	/** Highest value of each parameter until 5 s after the end. */
	peaks: v.record(fieldId, finite),
	/** Lowest value of each parameter until 5 s after the end. */
	lows: v.optional(v.record(fieldId, finite)),
	/** The aim fixed before the start, and the verdict's code against it. */
	aim: v.nullable(
		v.strictObject({ time: v.picklist(['total', 'equivalent-linear']), targetS: notNegative, bandS: notNegative }),
	),
	verdict: fieldId,
	scenario: v.optional(v.strictObject({ id: fieldId, seed: wholeFrom0 })),
	traces: hashList,
	text: v.optional(sentence),
});
