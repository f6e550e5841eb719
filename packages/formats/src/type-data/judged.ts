import * as v from 'valibot';
import { finite, id, notNegative, positive, words } from '../value/index.js';

/** Type data for what is held, timed, switched and autorotated; all of it optional, each switching on its own judgement. */

/** One quantity read off an instrument: how it is called, and how finely it can be read. */
const instrument = {
	id,
	name: words,
	unit: words,
	resolution: positive,
	/** Standard deviation of one reading, same unit; without it the resolution alone scatters. */
	sd: v.optional(notNegative),
};

const confirmed = v.strictObject({
	/** `bleedOff`, `generatorOn`, `antiIceOff`: confirmed by the crew rather than read. */
	quantity: id,
	name: words,
	equals: v.boolean(),
});

export const hold = v.strictObject({
	id,
	name: words,
	/** Charts of the type data, by the id of their result; all are judged, the worst governs. */
	charts: v.pipe(v.array(id), v.minLength(1)),
	/** What is read: the charts' results and everything they are entered with. */
	parameters: v.pipe(
		v.array(
			v.strictObject({
				...instrument,
				/** Steady means: largest less smallest, and steepest fitted slope either way. */
				spanAtMost: v.optional(positive),
				slopePerMinuteAtMost: v.optional(positive),
			}),
		),
		v.minLength(1),
	),
	stabiliseS: notNegative,
	recordS: positive,
	/** A longer wait between samples of a feed is a gap. */
	periodAtMostS: positive,
	confirmed: v.array(confirmed),
	/** Limit lines of the type data; reaching one ends the hold. */
	lines: v.array(id),
	reference: words,
});

export const transition = v.strictObject({
	id,
	name: words,
	/** The signal that is timed, `leverPct` or `torquePct`; `crew-call` when only the crew times it. */
	signal: id,
	unit: words,
	from: finite,
	to: finite,
	/** Which time is meant, and its band. */
	aim: v.strictObject({ time: v.picklist(['total', 'equivalent-linear']), targetS: positive, bandS: notNegative }),
	/** Indications whose extremes are kept, each against limit lines of the type data. */
	watch: v.array(v.strictObject({ ...instrument, lines: v.array(id) })),
	reference: words,
});

export const consumer = v.strictObject({
	id,
	name: words,
	riseC: v.strictObject({ least: finite, most: finite }),
	/** Everything else that a check of it needs; without it the band is shown and nothing is judged. */
	check: v.optional(
		v.strictObject({
			temperature: v.strictObject(instrument),
			torque: v.strictObject(instrument),
			/** What 1 % of torque does to the temperature, °C. */
			cPerTorquePct: finite,
			heldAtLeastS: positive,
			torqueWithinPct: positive,
			/** How much may stay up after it is switched off, °C. */
			staysUpC: notNegative,
		}),
	),
	reference: words,
});

export const autorotation = v.strictObject({
	/** Chart of the type data, by the id of its result, entered with `massKg` and the other conditions. */
	chart: id,
	parameters: v.pipe(v.array(v.strictObject(instrument)), v.minLength(1)),
	withinPct: positive,
	rotorRpmPctPerUnit: finite,
	words: v.strictObject({ plus: words, minus: words }),
	unit: words,
	stepUnits: positive,
	maxRpmPct: positive,
	minRpmPct: positive,
	massSdPct: notNegative,
	readingSdPct: notNegative,
	/** Rotor whose blades all take the same change. */
	rotor: id,
	reference: words,
});

/** An item that is due after the check: torque re-checks, inspections, gear to take off. */
export const dueItem = v.strictObject({
	id,
	name: words,
	/** Kind of adjuster whose change makes it due; absent: due after every check. */
	change: v.optional(id),
	/** Flying hours after which it is due; absent: before the next flight. */
	afterH: v.optional(positive),
	reference: words,
});
