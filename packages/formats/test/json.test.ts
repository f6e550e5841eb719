import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { depthLimit, readJson, sizeLimitBytes } from '../src/json/index.js';

const problemOf = (text: string) => {
	const read = readJson(text);
	return read.ok ? undefined : read.problem;
};

/** The runtime's own parser is the oracle for what is JSON at all (reference library: V8's JSON.parse, RFC 8259). */
const isJson = (text: string): boolean => {
	try {
		JSON.parse(text);
		return true;
	} catch {
		return false;
	}
};

const stricter = new Set(['duplicate-key', 'reserved-key', 'number-too-large', 'too-deep']);
const seed = 20_261_125;

describe('readJson(text)', () => {
	it('returns what the text says', () => {
		expect(readJson('\ufeff { "a": [1, -2.5e3, "x\\u00e9\\n", true, null, {}], "b": [] } ')).toEqual({
			ok: true,
			value: { a: [1, -2500, 'xé\n', true, null, {}], b: [] },
		});
	});

	it.each([
		['', 'not-json', '$', 1, 1],
		['{"a": NaN}', 'not-json', '$.a', 1, 7],
		['{"a": -Infinity}', 'not-json', '$.a', 1, 7],
		['{"a": 01}', 'not-json', '$', 1, 8],
		['{"a": 1,}', 'not-json', '$', 1, 9],
		['[1 2]', 'not-json', '$', 1, 4],
		['{\n  "runs": [\n    {"x": tru}\n]}', 'not-json', '$.runs[0].x', 3, 11],
		['{"a": "b\nc"}', 'not-json', '$.a', 1, 9],
		['{"a": "\\x"}', 'not-json', '$.a', 1, 8],
		['{} {}', 'not-json', '$', 1, 4],
		['{"a": "open', 'not-json', '$.a', 1, 12],
		['{"a": 1e999}', 'number-too-large', '$.a', 1, 7],
		['{"a": {"b": 1, "b": 2}}', 'duplicate-key', '$.a', 1, 16],
		['{"a": 1, "\\u0061": 2}', 'duplicate-key', '$', 1, 10],
		['{"a": {"__proto__": 1}}', 'reserved-key', '$.a', 1, 8],
		['{"__pr\\u006fto__": 1}', 'reserved-key', '$', 1, 2],
	])('refuses %j as %s at %s, line %i, column %i', (text, code, path, line, column) => {
		expect(problemOf(text)).toMatchObject({ code, path, line, column });
	});

	it('accepts the depth limit and refuses one level more, and ten thousand levels, without a stack overflow', () => {
		expect(readJson('['.repeat(depthLimit) + ']'.repeat(depthLimit)).ok).toBe(true);
		expect(problemOf('['.repeat(depthLimit + 1))?.code).toBe('too-deep');
		expect(problemOf('{"a":'.repeat(10_000))).toMatchObject({
			code: 'too-deep',
			found: depthLimit + 1,
			needed: depthLimit,
		});
	});

	it('refuses a text above the size limit before looking into it', () => {
		expect(problemOf(' '.repeat(sizeLimitBytes + 1))).toMatchObject({ code: 'too-large', path: '$' });
	});

	it('quotes a long key only in part', () => {
		const path = problemOf(`{"${'k'.repeat(5000)}": !}`)?.path ?? '';
		expect(path.length).toBeLessThan(120);
	});

	it('agrees with the runtime on every JSON value it writes', () => {
		fc.assert(
			fc.property(fc.jsonValue({ maxDepth: 8 }), (value) => {
				const text = JSON.stringify(value);
				const read = readJson(text);
				if (read.ok) expect(read.value).toEqual(JSON.parse(text));
				else expect(stricter).toContain(read.problem.code);
			}),
			{ seed, numRuns: 500 },
		);
	});

	it('agrees with the runtime on texts spoiled at one place', () => {
		const spoiled = fc
			.tuple(
				fc.jsonValue({ maxDepth: 4 }),
				fc.nat(),
				fc.constantFrom('', '"', '\\', '{', '}', ',', ':', '0', '-', '.', 'e', '\n', '\t', '\u0000'),
			)
			.map(([value, at, sign]) => {
				const text = JSON.stringify(value, null, 1);
				const cut = at % (text.length + 1);
				return text.slice(0, cut) + sign + text.slice(cut + 1);
			});
		fc.assert(
			fc.property(spoiled, (text) => {
				const problem = problemOf(text);
				if (problem === undefined) expect(isJson(text)).toBe(true);
				else if (!stricter.has(problem.code)) expect(isJson(text)).toBe(false);
			}),
			{ seed, numRuns: 3000 },
		);
	});
});
