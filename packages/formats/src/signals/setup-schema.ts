import { fail, ok, type Result } from '@stillmast/core/result';
import type { SignalSetup } from '@stillmast/core/vibration';
import * as v from 'valibot';
import { type DocumentFault, readAs } from '../problem/index.js';
import { finite, notNegative, positive, words } from '../value/index.js';

/** `stillmast/signals@1`: how a recording is to be read and reduced. `csv`, `wav` and `uff` say how its file is laid out. */

const channel = v.strictObject({
	id: words,
	quantity: v.picklist(['g', 'ips', 'mm/s', 'mV']),
	mVPerG: v.optional(positive),
	mVPerIps: v.optional(positive),
	highPassHz: v.optional(positive),
	lowPassHz: v.optional(positive),
	naturalHz: v.optional(positive),
	damping: v.optional(positive),
	delayS: v.optional(finite),
	polarity: v.optional(v.picklist([1, -1])),
});

const pulse = v.union([
	v.strictObject({
		column: words,
		threshold: finite,
		hysteresis: notNegative,
		delayS: v.optional(finite),
		edge: v.optional(v.picklist(['rising', 'falling', 'centre'])),
	}),
	v.strictObject({ timesS: v.pipe(v.array(finite), v.maxLength(10_000_000)), delayS: v.optional(finite) }),
]);

const csv = v.strictObject({
	delimiter: v.optional(v.picklist([',', ';', '\t'])),
	decimal: v.optional(v.picklist(['.', ','])),
	skipLines: v.optional(v.pipe(notNegative, v.integer())),
	columns: v.optional(v.record(words, words)),
	timeColumn: v.optional(words),
});

const wav = v.strictObject({
	channels: v.pipe(v.array(v.nullable(words)), v.minLength(1), v.maxLength(256)),
	fullScale: v.optional(v.pipe(v.array(finite), v.maxLength(256))),
});

const uff = v.strictObject({
	/** Column per dataset 58 of the file, in its order; null for one that is not wanted. */
	datasets: v.pipe(v.array(v.nullable(words)), v.minLength(1), v.maxLength(4096)),
});

export const signalSetupSchema = v.strictObject({
	format: v.literal('stillmast/signals@1'),
	sampleRateHz: positive,
	channels: v.pipe(v.array(channel), v.minLength(1), v.maxLength(256)),
	pulse,
	pulsesPerRev: v.optional(v.pipe(positive, v.integer())),
	orders: v.optional(v.pipe(v.array(positive), v.minLength(1), v.maxLength(100))),
	steadyPct: v.optional(positive),
	pointsPerRev: v.optional(v.pipe(finite, v.integer(), v.minValue(8), v.maxValue(65536))),
	csv: v.optional(csv),
	wav: v.optional(wav),
	uff: v.optional(uff),
});

export type SignalSetupDocument = v.InferOutput<typeof signalSetupSchema> & SignalSetup;

/**
 * Reads a parsed `stillmast/signals@1` document.
 * @returns the document; or the first fault of its shape, or an id that stands twice
 */
export function readSignalSetup(value: unknown): Result<SignalSetupDocument, DocumentFault> {
	const read = readAs(signalSetupSchema, value);
	if (!read.ok) return read;
	const seen = new Set<string>();
	if ('column' in read.value.pulse) seen.add(read.value.pulse.column);
	for (const [at, { id }] of read.value.channels.entries()) {
		if (seen.has(id))
			return fail({
				code: 'not-allowed',
				path: `$.channels[${at}].id`,
				found: `${id} a second time`,
				needed: 'each column once',
			});
		seen.add(id);
	}
	return ok(read.value);
}
