import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
	BYTES_8,
	BYTES_32,
	BYTES_64,
	ENTRY_BYTES_MAX,
	ENTRY_DEPTH_MAX,
	type EntryProblem,
	envelopeEntries,
	type Kind,
	kindSchemas,
	kinds,
	parseEntry,
	parseEnvelope,
	plainJson,
	utf8Bytes,
} from '../src/entry/index.js';
import { type Json, sampleEntry, sampleFields } from './entry-samples.js';

function problemOf(value: unknown, parse = parseEntry): EntryProblem | null {
	const parsed = parse(value);
	return parsed.ok ? null : parsed.problem;
}

describe('parseEntry(value): envelope', () => {
	it.each(kinds)('[REC-4] takes a sound %s, with every field and with the asked ones only', (kind) => {
		for (const fields of sampleFields[kind]) expect(problemOf(sampleEntry(kind, fields))).toBeNull();
	});

	const spoilt: readonly [string, unknown][] = [
		['v', 0],
		['v', '1'],
		['record', 'short'],
		['record', undefined],
		['chain', 'AAAAAAAAAAB'],
		['seq', 0],
		['seq', 1.5],
		['seq', 2 ** 53],
		['n', 0],
		['prev', `${'A'.repeat(42)}B`],
		['seen', ['A'.repeat(43), 'A'.repeat(43)]],
		['seen', [`${'B'.repeat(42)}A`, 'A'.repeat(43)]],
		['seen', {}],
		['at', '2026-02-30T10:00:00.000Z'],
		['at', '2026-03-01T10:00:00Z'],
		['at', '2026-03-01T10:00:00.000+00:00'],
		['at', '2026-03-01T24:00:00.000Z'],
		['up', -1],
		['up', Number.NaN],
		['up', Number.POSITIVE_INFINITY],
		['clock', { offsetMs: 1, errorMs: 1 }],
		['clock', { offsetMs: 1, errorMs: 1, ageS: 1, spare: 1 }],
		['clock', []],
		['observed', { from: '2026-03-01T10:00:00.000Z' }],
		['observed', { from: '2026-03-01T10:00:01.000Z', to: '2026-03-01T10:00:00.000Z' }],
		['source', 'guess'],
		['by', 'A'.repeat(44)],
		['kind', 'Reading'],
		['kind', ''],
		['hash', `${'A'.repeat(42)}=`],
		['sig', `${'A'.repeat(85)}B`],
		['sig', 'A'.repeat(85)],
	];
	it.each(spoilt)('[REC-1] refuses %s = %j and names it', (key, value) => {
		const problem = problemOf({ ...sampleEntry('remark'), [key]: value });
		expect(problem?.path).toMatch(new RegExp(`^\\$\\.${key}\\b`));
	});

	it('[REC-1] refuses an envelope without any one of its fields', () => {
		const entry = sampleEntry('remark');
		for (const key of Object.keys(envelopeEntries)) {
			if (key === 'pen') continue;
			const { [key]: _, ...without } = entry as Record<string, unknown>;
			expect(problemOf(without)?.path, key).toBe(`$.${key}`);
		}
	});

	it('[REC-8] asks for the pen in the first entry of a chain and nowhere else', () => {
		const { pen, ...rest } = sampleEntry('remark', undefined, { seq: 1, prev: null });
		expect(problemOf({ ...rest, pen })).toBeNull();
		expect(problemOf(rest)).toMatchObject({ code: 'wrong-envelope', path: '$.pen' });
		expect(problemOf({ ...sampleEntry('remark'), pen })).toMatchObject({ path: '$.pen' });
		expect(problemOf({ ...sampleEntry('remark'), prev: null })).toMatchObject({ path: '$.prev' });
		expect(problemOf({ ...rest, pen, prev: 'A'.repeat(43) })).toMatchObject({ path: '$.prev' });
	});

	it('[REC-1] knows `opened` by having no record, and only it; it is the first of all', () => {
		expect(problemOf({ ...sampleEntry('remark'), record: null })).toMatchObject({ path: '$.record' });
		expect(problemOf({ ...sampleEntry('opened'), record: 'A'.repeat(43) })).toMatchObject({ path: '$.record' });
		expect(problemOf({ ...sampleEntry('opened'), n: 2 })).toMatchObject({ path: '$.seq' });
		expect(problemOf({ ...sampleEntry('opened'), seen: ['A'.repeat(43)] })).toMatchObject({ path: '$.seq' });
	});

	it('[REC-1] tells a newer format from a wrong one', () => {
		expect(problemOf({ ...sampleEntry('remark'), v: 2 })).toEqual({
			code: 'newer-format',
			path: '$.v',
			found: 2,
			needed: 1,
		});
	});

	it('[REC-3] keeps a kind that it does not know, with whatever fields', () => {
		const newer = { ...sampleEntry('remark'), kind: 'hologram', depth: [1, { a: null }] };
		expect(problemOf(newer)).toBeNull();
	});

	it('[REC-3] parseEnvelope(value) takes wrong fields, so that the entry can travel and be shown', () => {
		const wrong = { ...sampleEntry('remark'), nonsense: 1 };
		expect(problemOf(wrong)).toMatchObject({ code: 'wrong-fields', path: '$.nonsense' });
		expect(problemOf(wrong, parseEnvelope)).toBeNull();
	});
});

describe('parseEntry(value): fields', () => {
	it.each(kinds)('[REC-4] %s: refuses a field more, a field less, and a list or text in each place', (kind) => {
		const [full, least] = sampleFields[kind];
		expect(problemOf(sampleEntry(kind, { ...full, spare: 1 }))).toMatchObject({ path: '$.spare' });
		for (const key of Object.keys(least)) {
			const { [key]: _, ...without } = least;
			expect(problemOf(sampleEntry(kind, without))?.code, `${kind} without ${key}`).toBe('wrong-fields');
		}
		for (const [key, value] of Object.entries(full)) {
			const path = (other: Json) => problemOf(sampleEntry(kind, { ...full, [key]: other }))?.path ?? 'taken';
			if (!Array.isArray(value)) expect(path([]).startsWith(`$.${key}`), `${kind}.${key} a list`).toBe(true);
			if (typeof value !== 'object' || value === null) continue;
			expect(path('text'), `${kind}.${key} text`).toBe(`$.${key}`);
		}
	});

	it('[REC-4] no kind uses a name of the envelope', () => {
		for (const kind of kinds) {
			for (const fields of sampleFields[kind]) {
				for (const key of Object.keys(fields))
					expect(Object.hasOwn(envelopeEntries, key), `${kind}.${key}`).toBe(false);
			}
		}
		expect(Object.keys(kindSchemas)).toEqual(kinds);
	});

	const numbers: readonly [Kind, string, number][] = [
		['vibration', 'amplitudeIps', -0.1],
		['vibration', 'phaseDeg', 360],
		['vibration', 'phaseDeg', -1],
		['vibration', 'run', 0],
		['adjustment', 'after', -1],
		['trace', 'rows', 0],
		['hold', 'heldS', -1],
	];
	it.each(numbers)('[REC-4] %s: refuses %s = %d', (kind, key, value) => {
		expect(problemOf(sampleEntry(kind, { ...sampleFields[kind][0], [key]: value }))?.path).toBe(`$.${key}`);
	});

	it('[REC-4] refuses a proposal used and a run used in one', () => {
		const both = { ...sampleFields.use[0], proposal: 'A'.repeat(43) };
		expect(problemOf(sampleEntry('use', both))).toMatchObject({ code: 'wrong-fields', path: '$.proposal' });
	});
});

describe('plainJson(value, limits)', () => {
	const limits = { bytesMax: ENTRY_BYTES_MAX, depthMax: ENTRY_DEPTH_MAX };
	const nested = (depth: number): Json => (depth === 0 ? 1 : [nested(depth - 1)]);

	it.each<[string, unknown, string, string]>([
		['undefined inside', { a: undefined }, 'not-plain-json', '$.a'],
		['a date', { a: new Date(0) }, 'not-plain-json', '$.a'],
		['bytes', { a: [new Uint8Array(2)] }, 'not-plain-json', '$.a[0]'],
		['a big integer', { a: 1n }, 'not-plain-json', '$.a'],
		['−0', { a: -0 }, 'not-plain-json', '$.a'],
		['a hole', { a: new Array(2) }, 'not-plain-json', '$.a[0]'],
		['infinity', { 'a b': Number.POSITIVE_INFINITY }, 'number-not-finite', '$["a b"]'],
		['half a pair', { a: '\ud83d' }, 'lone-surrogate', '$.a'],
		['half a pair in a name', { '\ude00': 1 }, 'lone-surrogate', '$'],
		['__proto__', JSON.parse('{"a":{"__proto__":1}}'), 'key-not-allowed', '$.a'],
		['constructor', { constructor: 1 }, 'key-not-allowed', '$'],
		['13 levels', nested(13), 'nested-too-deep', `$${'[0]'.repeat(12)}`],
		['10 000 levels', nested(5000), 'nested-too-deep', `$${'[0]'.repeat(12)}`],
	])('[REC-1] refuses %s', (_, value, code, path) => {
		expect(plainJson(value, limits)).toMatchObject({ ok: false, problem: { code, path } });
	});

	it('[REC-1] takes 12 levels, proper pairs and every finite number', () => {
		for (const value of [nested(12), '😀', Number.MIN_VALUE, -Number.MAX_VALUE, 0, '']) {
			expect(plainJson(value, limits).ok).toBe(true);
		}
	});

	it('[REC-1] counts bytes of UTF-8: 16 KiB is taken, one byte more is not', () => {
		for (const [character, bytes] of [
			['a', 1],
			['é', 2],
			['€', 3],
			['😀', 4],
			['\u0001', 6],
		] as const) {
			const count = Math.floor((ENTRY_BYTES_MAX - 2) / bytes);
			const rest = 'a'.repeat(ENTRY_BYTES_MAX - 2 - count * bytes);
			const text = character.repeat(count) + rest;
			expect(plainJson(text, limits).ok, character).toBe(true);
			expect(plainJson(`${text}a`, limits), character).toMatchObject({
				problem: { code: 'too-big', found: ENTRY_BYTES_MAX + 1 },
			});
		}
	});

	it('[REC-1] stops early in a bomb of a million parts', () => {
		const bomb = Array.from({ length: 1_000_000 }, () => []);
		const begunMs = performance.now();
		expect(plainJson(bomb, limits)).toMatchObject({ problem: { code: 'too-big' } });
		// A full walk takes tens of times longer; generous for a loaded machine.
		expect(performance.now() - begunMs).toBeLessThan(500);
	});

	it('[REC-1] utf8Bytes(text) agrees with the platform (reference library: node Buffer)', () => {
		const property = fc.property(fc.string({ unit: 'binary', maxLength: 40 }), (text) => {
			expect(utf8Bytes(text)).toBe(Buffer.byteLength(text));
		});
		fc.assert(property, { seed: 16, numRuns: 500 });
	});

	it('[REC-1] parseEntry(value) answers any value without throwing', () => {
		const noise = fc.anything({
			withBigInt: true,
			withDate: true,
			withMap: true,
			withNullPrototype: true,
			withTypedArray: true,
		});
		const keys = Object.keys(sampleEntry('vibration'));
		const property = fc.property(noise, fc.constantFrom(...keys), (value, key) => {
			expect(typeof parseEntry(value).ok).toBe('boolean');
			expect(typeof parseEntry({ ...sampleEntry('vibration'), [key]: value }).ok).toBe('boolean');
		});
		fc.assert(property, { seed: 1, numRuns: 2000 });
	});
});

describe('base64url of fixed lengths', () => {
	it.each([
		[BYTES_8, 8],
		[BYTES_32, 32],
		[BYTES_64, 64],
	] as const)('[REC-1] %s takes the one spelling of %i bytes (reference library: node Buffer)', (pattern, length) => {
		const property = fc.property(fc.uint8Array({ minLength: length, maxLength: length }), (bytes) => {
			const text = Buffer.from(bytes).toString('base64url');
			expect(pattern.test(text)).toBe(true);
			for (const last of 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_') {
				const other = text.slice(0, -1) + last;
				const same = Buffer.from(other, 'base64url').toString('base64url') === other;
				expect(pattern.test(other)).toBe(same);
			}
		});
		fc.assert(property, { seed: 64, numRuns: 50 });
	});
});
