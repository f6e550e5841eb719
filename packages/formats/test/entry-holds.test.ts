import fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { holdsOf } from '../src/entry/holds.js';
import { envelopeEntries, envelopeSchema, kindSchemas, kinds } from '../src/entry/index.js';
import { type Json, sampleEntry, sampleFields } from './entry-samples.js';

/** What members are spoilt with: near misses of every rule, and things that are no such member at all. */
const SPOILS: readonly Json[] = [
	null,
	true,
	'',
	'x',
	'A'.repeat(43),
	'B'.repeat(43),
	'x'.repeat(5_000),
	0,
	-1,
	0.5,
	1e300,
	360,
	[],
	[1],
	['A'.repeat(43), 'A'.repeat(43)],
	{},
	{ a: 1 },
	{ spare: null },
];

const spoilt = fc.record({
	kind: fc.constantFrom(...kinds),
	member: fc.nat(40),
	inner: fc.nat(4),
	spoil: fc.constantFrom(...SPOILS, undefined),
	spare: fc.boolean(),
});

/** One member, or a member of a member, put out of shape; `undefined` takes it away. */
function spoil(object: Record<string, Json>, member: number, inner: number, by: Json | undefined): void {
	const keys = Object.keys(object);
	const key = keys[member % keys.length] ?? '';
	const part = object[key];
	if (inner > 0 && typeof part === 'object' && part !== null && !Array.isArray(part)) {
		spoil(part, inner, 0, by);
	} else if (by === undefined) delete object[key];
	else object[key] = by;
}

describe('holdsOf(schema, besides)', () => {
	it('never says yes to what the schema refuses, and says yes to every sound entry', () => {
		const envelopeHolds = holdsOf(envelopeSchema);
		let refused = 0;
		for (const kind of kinds) {
			for (const fields of sampleFields[kind]) expect(envelopeHolds(sampleEntry(kind, fields))).toBe(true);
		}
		fc.assert(
			fc.property(spoilt, ({ kind, member, inner, spoil: by, spare }) => {
				const entry = structuredClone(sampleEntry(kind)) as Record<string, Json>;
				spoil(entry, member, inner, by);
				if (spare) entry.spare = 1;
				expect(envelopeHolds(entry)).toBe(v.is(envelopeSchema, entry) && !isListForObject(entry));
				const fields = structuredClone(sampleFields[kind][0]) as Record<string, Json>;
				if (Object.keys(fields).length > 0) spoil(fields, member, inner, by);
				if (spare) fields.spare = 1;
				const sound = v.is(kindSchemas[kind], fields);
				if (!sound) refused += 1;
				if (holdsOf(kindSchemas[kind], envelopeEntries)({ ...sampleEntry(kind, {}), ...fields })) {
					expect(sound).toBe(true);
				}
			}),
			{ numRuns: 3_000, seed: 20_261_125 },
		);
		expect(refused).toBeGreaterThan(500);
	});

	it('says yes to the sound fields of every kind that is one object', () => {
		for (const kind of kinds) {
			if (kindSchemas[kind].type !== 'strict_object') continue;
			for (const fields of sampleFields[kind]) {
				expect([kind, holdsOf(kindSchemas[kind], envelopeEntries)(sampleEntry(kind, fields))]).toEqual([kind, true]);
			}
		}
	});
});

/** A list where an object is asked for: a schema takes an empty one, an entry may not hold it. */
function isListForObject(entry: Readonly<Record<string, unknown>>): boolean {
	return ['clock', 'observed', 'pen'].some((key) => Array.isArray(entry[key]));
}
