import type { Adjuster, Rotor, RotorProblem } from '@stillmast/core/balance';
import { ok, type Result } from '@stillmast/core/result';
import * as v from 'valibot';
import { type DocumentFault, readAs } from '../problem/index.js';
import { angleDeg, share, words } from '../value/index.js';

/**
 * `stillmast/rotor@1`: what `stillmast solve` reads. Shape and ranges are judged here; whether the parts fit together
 * (a reading of a channel that isn't there) is judged by the solver, with the same kind of path.
 */

/** Name of a channel, adjuster, kind, blade or run: 1 to 100 signs on one line. The user's own names are welcome. */
const name = v.pipe(v.string(), v.regex(/^[ -~\u00a0-\uffff]{1,100}$/));

/** Far beyond any rotor either way, and near enough that no ratio or square of two leaves a double's range. */
const most = 1e9;
const least = 1e-9;
const finite = v.pipe(v.number(), v.finite(), v.minValue(-most), v.maxValue(most));
const positive = v.pipe(v.number(), v.finite(), v.minValue(least), v.maxValue(most));
const notNegative = v.pipe(v.number(), v.finite(), v.minValue(0), v.maxValue(most));

/** Lists are bounded so that a wrong file ends in a sentence and not in an hour of work. */
const list = <T extends v.GenericSchema>(item: T) => v.pipe(v.array(item), v.maxLength(1000));

const blade = v.strictObject({ id: name, passAngleDeg: angleDeg });

const rotor = v.strictObject({
	id: name,
	rpm: positive,
	blades: list(blade),
	meanChangeLimit: v.optional(v.record(name, notNegative)),
});

const channel = v.strictObject({
	id: name,
	regime: name,
	station: name,
	limitIps: positive,
	goalIps: v.optional(positive),
	stopIps: v.optional(positive),
	weight: v.optional(notNegative),
});

const piece = v.strictObject({
	id: name,
	amount: positive,
	stock: v.optional(notNegative),
	maxHere: v.optional(notNegative),
});

const adjuster = v.strictObject({
	id: name,
	kind: name,
	blade: v.optional(v.nullable(name)),
	passAngleDeg: angleDeg,
	min: finite,
	max: finite,
	step: positive,
	unit: words,
	effort: v.optional(notNegative),
	values: v.optional(list(finite)),
	pieces: v.optional(list(piece)),
	settingSd: v.optional(notNegative),
	scale: v.optional(finite),
	positive: v.optional(v.strictObject({ plus: words, minus: words })),
	rotorRpmPctPerUnit: v.optional(finite),
	/** The inspection a change asks for: in the user's words, or just that one is needed. */
	inspection: v.optional(v.union([v.boolean(), words])),
});

const coefficient = v.strictObject({
	channel: name,
	kind: name,
	amplitudeIpsPerUnit: notNegative,
	phaseDeg: angleDeg,
	sdRelative: notNegative,
});

const prior = v.strictObject({
	kind: name,
	commonGainSd: v.optional(notNegative),
	commonPhaseSdDeg: v.optional(notNegative),
	channelSd: v.optional(notNegative),
	adjusterSd: v.optional(notNegative),
	gain: v.optional(positive),
	phaseDeg: v.optional(angleDeg),
	source: v.optional(v.picklist(['table', 'fleet'])),
});

const noise = v.strictObject({
	sdIps: notNegative,
	sdRelative: v.optional(notNegative),
	commonShare: v.optional(share),
	withinSdIps: v.optional(positive),
});

const reading = v.strictObject({
	amplitudeIps: notNegative,
	phaseDeg: v.optional(v.nullable(angleDeg)),
	sdIps: v.optional(notNegative),
});

const context = v.strictObject({
	iasKt: v.optional(finite),
	torquePct: v.optional(finite),
	oatC: v.optional(finite),
	pressureAltitudeFt: v.optional(finite),
	massKg: v.optional(positive),
	wind: v.optional(words),
	doors: v.optional(words),
	extraSdIps: v.optional(notNegative),
});

const run = v.strictObject({
	id: name,
	settings: v.optional(v.record(name, finite)),
	readings: v.record(name, reading),
	use: v.optional(v.boolean()),
	context: v.optional(context),
	track: v.optional(v.record(name, v.record(name, finite))),
	workSince: v.optional(v.picklist(['none', 'not-on-rotor', 'rotor-part'])),
	hoursH: v.optional(notNegative),
});

const track = v.strictObject({
	units: v.literal('mm'),
	positive: v.picklist(['high', 'low']),
	limits: v.optional(list(v.strictObject({ regime: name, spreadMm: positive }))),
	coefficients: v.optional(
		list(v.strictObject({ regime: name, kind: name, mmPerUnit: finite, sdRelative: notNegative })),
	),
});

const inspectLimits = v.strictObject({
	gainLow: v.optional(positive),
	gainHigh: v.optional(positive),
	tabDeg: v.optional(positive),
	trackHookMm: v.optional(positive),
	scatterRatio: v.optional(positive),
	soonHours: v.optional(notNegative),
	settingByKind: v.optional(v.record(name, positive)),
});

export const rotorSchema = v.strictObject({
	format: v.literal('stillmast/rotor@1'),
	rotor,
	channels: list(channel),
	adjusters: list(adjuster),
	coefficients: list(coefficient),
	priors: v.optional(list(prior)),
	noise,
	runs: v.optional(list(run)),
	track: v.optional(track),
	locked: v.optional(list(name)),
	stock: v.optional(v.record(name, notNegative)),
	untouchedBlade: v.optional(v.nullable(name)),
	objective: v.optional(v.picklist(['worst-ratio', 'weighted-squares', 'joint-chance'])),
	cautionSd: v.optional(notNegative),
	maxTouches: v.optional(v.pipe(finite, v.integer(), v.minValue(0), v.maxValue(1000))),
	inspectAt: v.optional(inspectLimits),
});

export type RotorDocument = v.InferOutput<typeof rotorSchema>;

/** Stands for `inspection: true`, as type data say it of work on a flight control. */
export const independentInspection = 'independent inspection by another licensed person';

/**
 * Reads a parsed `stillmast/rotor@1` document. Unknown fields are refused: a misspelt one would otherwise be left out
 * of the computation without a word.
 * @returns the problem as the solver takes it, or the first fault with its JSON path
 */
export function readRotor(value: unknown): Result<RotorProblem, DocumentFault> {
	const read = readAs(rotorSchema, value);
	if (!read.ok) return read;
	const { rotor, adjusters, ...rest } = read.value;
	return ok({ ...rest, rotor: withLimitsInUse(rotor, adjusters), adjusters: adjusters.map(inspectionInWords) });
}

/** A type limits the mean change of its links even where the document brings no link: then it limits nothing. */
function withLimitsInUse(
	{ meanChangeLimit, ...rotor }: RotorDocument['rotor'],
	adjusters: RotorDocument['adjusters'],
): Rotor {
	if (meanChangeLimit === undefined) return rotor;
	const kinds = new Set(adjusters.map((adjuster) => adjuster.kind));
	const inUse = Object.entries(meanChangeLimit).filter(([kind]) => kinds.has(kind));
	return { ...rotor, meanChangeLimit: Object.fromEntries(inUse) };
}

function inspectionInWords({ inspection, ...adjuster }: RotorDocument['adjusters'][number]): Adjuster {
	if (inspection === undefined || inspection === false) return adjuster;
	return { ...adjuster, inspection: inspection === true ? independentInspection : inspection };
}
