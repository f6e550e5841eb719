import * as v from 'valibot';
import { attachments } from './attachment.js';
import { flightNumber, scalar } from './kinds-flight.js';
import {
	chance,
	fieldId,
	finite,
	hashList,
	hashText,
	notNegative,
	optionalName,
	phaseDeg,
	sentence,
	wholeFrom0,
	wholeFrom1,
} from './text.js';

/** Absolute settings by adjuster id, in the adjuster's own unit. */
export const settings = v.record(fieldId, finite);

/** A run = readings taken at one set of settings, numbered from 1 within its flight. */
export const run = v.strictObject({
	flight: flightNumber,
	run: wholeFrom1,
	state: v.picklist(['begun', 'ended', 'context']),
	/** Of which regime the context is; null = of the whole run. */
	regime: v.nullable(fieldId),
	/** `iasKt`, `torquePct`, `oatC`, `pressureAltitudeFt`, `massKg`, `wind`, `doors` … as flown. */
	context: v.optional(v.record(fieldId, scalar)),
	text: v.optional(sentence),
});

/** Once-per-rev reading: peak velocity and lag phase (docs/methods on phasors). */
export const vibration = v.strictObject({
	flight: flightNumber,
	run: wholeFrom1,
	rotor: fieldId,
	/** `regime/station`. */
	channel: fieldId,
	amplitudeIps: notNegative,
	phaseDeg: v.nullable(phaseDeg),
	sdIps: v.optional(notNegative),
	resolutionIps: v.optional(notNegative),
	resolutionDeg: v.optional(notNegative),
	rpm: v.optional(notNegative),
	revolutions: v.optional(wholeFrom0),
	instrument: v.optional(optionalName),
	attachments: v.optional(attachments),
});

/**
 * Settings on the ground after flight `after`. `found`: as they stood before anything was touched; `planned`: meant;
 * `made`: done, not measured; `measured`: read off the aircraft.
 */
export const adjustment = v.strictObject({
	rotor: fieldId,
	after: flightNumber,
	stage: v.picklist(['found', 'planned', 'made', 'measured']),
	settings: v.pipe(
		settings,
		v.check((map) => Object.keys(map).length > 0, 'at least one adjuster'),
	),
	proposal: v.optional(hashText),
	text: v.optional(sentence),
	attachments: v.optional(attachments),
});

/** Independent check of work on a flight control, by another pen than the work's. */
export const inspection = v.strictObject({
	adjustment: hashText,
	locked: v.boolean(),
	toolsCounted: v.boolean(),
	result: v.picklist(['in-order', 'not-in-order']),
	text: v.optional(sentence),
	attachments: v.optional(attachments),
});

export const predictedReading = v.strictObject({
	amplitudeIps: notNegative,
	phaseDeg: v.nullable(phaseDeg),
	low95Ips: notNegative,
	high95Ips: notNegative,
	chanceWithinLimit: v.optional(chance),
	chanceWithinGoal: v.optional(chance),
});

/** Something to do, put forward by a person or a solver. Nothing is done by it; `use` takes it up. */
export const proposal = v.strictObject({
	about: v.picklist(['adjustment', 'inspection', 'decision', 'use', 'step', 'other']),
	after: flightNumber,
	text: sentence,
	words: v.optional(v.pipe(v.array(sentence), v.maxLength(48))),
	rotor: v.optional(fieldId),
	from: v.optional(settings),
	settings: v.optional(settings),
	predicted: v.optional(v.record(fieldId, predictedReading)),
	chanceAllWithinLimit: v.optional(chance),
	chanceAllWithinGoal: v.optional(chance),
	proved: v.optional(v.boolean()),
	/** What computed it, and the entries it rests on (or the blob of its input document). */
	solver: v.optional(v.strictObject({ build: optionalName, seed: wholeFrom0, input: v.optional(hashText) })),
	basis: v.optional(hashList),
});

/** Takes up a proposal, takes a run in or out of learning, or accepts an audit's explanation. */
export const use = v.variant('what', [
	v.strictObject({ what: v.literal('proposal'), proposal: hashText, reason: v.optional(sentence) }),
	v.strictObject({
		what: v.literal('run'),
		rotor: fieldId,
		flight: flightNumber,
		run: wholeFrom1,
		include: v.boolean(),
		reason: sentence,
	}),
	v.strictObject({
		what: v.literal('explanation'),
		rotor: fieldId,
		flight: flightNumber,
		run: wholeFrom1,
		/** A hypothesis id, such as `next-arm` or `sign-reversed`. */
		explanation: fieldId,
		scope: v.picklist(['last-change', 'last-run', 'all-runs']),
		reason: sentence,
	}),
]);
