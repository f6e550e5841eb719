import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { childPath, readAs } from '../src/problem/index.js';

const schema = v.strictObject({
	format: v.literal('x@1'),
	name: v.pipe(v.string(), v.minLength(1)),
	rows: v.array(v.strictObject({ id: v.string(), size: v.pipe(v.number(), v.finite(), v.gtValue(0)) })),
	mode: v.optional(v.picklist(['a', 'b'])),
	byName: v.optional(v.record(v.string(), v.nullable(v.strictObject({ on: v.boolean() })))),
});
const good = { format: 'x@1', name: 'n', rows: [{ id: 'r', size: 1 }] };
const problemOf = (value: unknown) => {
	const read = readAs(schema, value);
	return read.ok ? undefined : read.problem;
};

describe('readAs(schema, value)', () => {
	it('returns a right value', () => {
		expect(readAs(schema, good)).toEqual({ ok: true, value: good });
	});

	it.each([
		[{ ...good, format: 'x@2' }, 'not-allowed', '$.format', '"x@2"', '"x@1"'],
		[{ ...good, rows: undefined }, 'missing-field', '$.rows', 'nothing', 'a list'],
		[{ ...good, rows: [{ id: 'r' }] }, 'missing-field', '$.rows[0].size', 'nothing', 'a number'],
		[{ ...good, rows: [{ id: 'r', size: -1 }] }, 'not-allowed', '$.rows[0].size', '-1', '>0'],
		[{ ...good, rows: [{ id: 'r', size: Number.NaN }] }, 'wrong-type', '$.rows[0].size', 'null', 'a number'],
		[{ ...good, rows: [{ id: 'r', size: Infinity }] }, 'not-allowed', '$.rows[0].size', 'null', 'a finite number'],
		[{ ...good, rows: { id: 'r' } }, 'wrong-type', '$.rows', 'an object', 'a list'],
		[{ ...good, byName: [] }, 'wrong-type', '$.byName', 'a list', 'an object'],
		[
			{ ...good, rows: [{ id: 'r', size: 1, sise: 2 }] },
			'unknown-field',
			'$.rows[0].sise',
			'"sise"',
			'one of id, size',
		],
		[{ ...good, mode: 'c' }, 'not-allowed', '$.mode', '"c"', '("a" | "b")'],
		[{ ...good, byName: { 'x/y': { on: 1 } } }, 'wrong-type', "$.byName['x/y'].on", '1', 'true or false'],
		[{ ...good, byName: { a: { on: true, off: 1 } } }, 'unknown-field', '$.byName.a.off', '"off"', 'one of on'],
		[{ ...good, name: '' }, 'not-allowed', '$.name', '""', 'a length of >=1'],
		[null, 'wrong-type', '$', 'null', 'an object'],
		['x'.repeat(500), 'wrong-type', '$', `"${'x'.repeat(59)}…`, 'an object'],
	])('case %#: names code, path, what was found and what is needed', (value, code, path, found, needed) => {
		expect(problemOf(value)).toEqual({ code, path, found, needed });
	});
});

describe('childPath(parent, ...keys)', () => {
	it('writes names bare, indexes in brackets and everything else quoted', () => {
		expect(childPath('$', 'runs', 1, 'readings', 'hover/lat')).toBe("$.runs[1].readings['hover/lat']");
		expect(childPath('$', `a"b'c\n`)).toBe(`$['a"b\\'c\\n']`);
	});
});
