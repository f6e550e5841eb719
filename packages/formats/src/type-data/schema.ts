import * as v from 'valibot';
import { chartSchema } from '../chart/index.js';
import { limitsSchema } from '../limits/index.js';
import { angleDeg, finite, id, notNegative, positive, share, words } from '../value/index.js';
import { instrument } from './instrument.js';
import { autorotation, consumer, dueItem, hold, transition } from './judged.js';

/**
 * Type data (`stillmast/type@1`): everything a check needs to know of an aircraft type, typed in by the user from
 * approved documents. What ships is invented and says so. A missing page switches off only its own judgement.
 */

/** Where a page of numbers comes from; the number counts as checked once another person has compared it. */
const provenance = v.strictObject({
	document: words,
	revision: words,
	page: v.optional(words),
	typedBy: words,
	checkedBy: v.nullable(words),
	state: v.picklist(['draft', 'checked', 'in-use', 'replaced']),
});

const blade = v.strictObject({
	id,
	/** The angle the rotor turns after the reference blade until this blade stands where the reference stood. */
	passAngleDeg: angleDeg,
	/** The name painted on the aircraft. */
	paint: v.optional(words),
});

const adjuster = v.strictObject({
	id,
	kind: id,
	blade: v.nullable(id),
	passAngleDeg: angleDeg,
	min: finite,
	max: finite,
	step: positive,
	values: v.optional(v.array(finite)),
	unit: words,
	effort: notNegative,
	massG: v.optional(positive),
	settingSd: v.optional(notNegative),
	positive: v.optional(v.strictObject({ plus: words, minus: words })),
	rotorRpmPctPerUnit: v.optional(finite),
	/** Whether the change is flight-control work that another licensed person inspects. */
	inspection: v.optional(v.boolean()),
});

const channel = v.strictObject({
	id,
	regime: id,
	station: id,
	limitIps: positive,
	goalIps: positive,
	stopIps: positive,
	weight: notNegative,
});

const coefficient = v.strictObject({
	channel: id,
	kind: id,
	amplitudeIpsPerUnit: notNegative,
	phaseDeg: angleDeg,
	sdRelative: positive,
});

const rotor = v.strictObject({
	id,
	name: words,
	rpm: positive,
	/** Turning sense as seen in the rotor picture: from above for the main rotor, from the named side for the tail rotor. */
	turns: v.picklist(['clockwise', 'counter-clockwise']),
	seenFrom: words,
	referenceBlade: id,
	blades: v.pipe(v.array(blade), v.minLength(2), v.maxLength(9)),
	/** Regime and station ids in words, as they stand beside a lane: `80kt` is "80 kt", `lat` is "lateral". */
	regimes: v.record(id, words),
	stations: v.record(id, words),
	meanChangeLimit: v.record(id, notNegative),
	channels: v.array(channel),
	adjusters: v.array(adjuster),
	coefficients: v.array(coefficient),
	noise: v.strictObject({ sdIps: positive, sdRelative: notNegative, commonShare: share }),
	stock: v.optional(v.record(id, notNegative)),
	provenance: v.optional(provenance),
});

const limitLine = v.strictObject({
	id,
	parameter: id,
	words,
	unit: words,
	above: v.optional(finite),
	below: v.optional(finite),
	maxSeconds: notNegative,
	/** The condition in words, as it stands beside the limit ("above 40 kt"). */
	when: v.optional(words),
	family: v.optional(id),
	reference: words,
});

const dependency = v.strictObject({
	/** Kind of adjuster whose change is meant. */
	change: id,
	/** Results that a change of this kind leaves alone; every other earlier result becomes stale. */
	unaffected: v.array(id),
	reference: words,
});

export const typeDataSchema = v.strictObject({
	format: v.literal('stillmast/type@1'),
	type: words,
	invented: v.boolean(),
	revision: words,
	rotors: v.array(rotor),
	limits: v.array(limitLine),
	dependencies: v.array(dependency),
	consumers: v.array(consumer),
	/** Charts of the manuals, named by the id of their result. */
	charts: v.optional(v.array(chartSchema)),
	holds: v.optional(v.array(hold)),
	transitions: v.optional(v.array(transition)),
	autorotation: v.optional(autorotation),
	/** Limits as a trace is judged by, each document for one or several families (airframe, engine). */
	limitDocuments: v.optional(v.array(limitsSchema)),
	due: v.optional(v.array(dueItem)),
	/** Instruments whose readings are turned into the product's form when they come in; others state it already. */
	instruments: v.optional(v.array(instrument)),
	provenance,
});

export type TypeData = v.InferOutput<typeof typeDataSchema>;
export type RotorData = TypeData['rotors'][number];
export type DependencyData = TypeData['dependencies'][number];
export type ConsumerData = TypeData['consumers'][number];
export type HoldData = NonNullable<TypeData['holds']>[number];
export type TransitionData = NonNullable<TypeData['transitions']>[number];
export type AutorotationData = NonNullable<TypeData['autorotation']>;
export type DueItem = NonNullable<TypeData['due']>[number];
export type LimitLineWords = TypeData['limits'][number];
export type Provenance = TypeData['provenance'];
