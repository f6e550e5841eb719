import { Buffer } from 'node:buffer';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CsvLayout, CsvReader } from '../src/signals/index.js';

const bytes = (text: string) => new Uint8Array(Buffer.from(text, 'utf8'));
function read(
	text: string,
	wanted: readonly string[] = ['a', 'b'],
	layout: CsvLayout = {},
	pieceSize = 1e9,
	rateHz = 100,
) {
	const reader = new CsvReader(wanted, rateHz, layout);
	const all = bytes(text);
	const columns: Record<string, number[]> = Object.fromEntries(wanted.map((name) => [name, []]));
	const take = (piece: Readonly<Record<string, Float64Array>>) => {
		for (const name of wanted) columns[name]?.push(...(piece[name] ?? []));
	};
	for (let at = 0; at < all.length; at += pieceSize) {
		const pushed = reader.push(all.subarray(at, at + pieceSize));
		if (!pushed.ok) return pushed.problem;
		take(pushed.value);
	}
	const last = reader.finish();
	if (!last.ok) return last.problem;
	take(last.value);
	return columns;
}

describe('CsvReader', () => {
	it('reads the wanted columns by their headings, in any order, and passes over the others', () => {
		expect(read('x,b,a\n9,1.5,-2\nwords,3e-2,+4\n')).toEqual({ a: [-2, 4], b: [1.5, 0.03] });
	});
	it('finds semicolons and tabs, takes decimal commas, CR LF, quotes, a byte order mark and a last line without its end', () => {
		expect(read('a;b\r\n1,5;2\r\n;3', ['a', 'b'], { decimal: ',' })).toEqual({ a: [1.5, Number.NaN], b: [2, 3] });
		expect(read('\uFEFFa\tb\n1\t2')).toEqual({ a: [1], b: [2] });
		expect(read('"a" , "b"\n "1" ,2\n')).toEqual({ a: [1], b: [2] });
	});
	it('maps headings to ids and skips lines before the header', () => {
		const layout = { skipLines: 2, columns: { a: 'Lateral (g)', b: 'Tacho' } };
		expect(read('made by something\n\nTacho,Lateral (g)\n1,2\n', ['a', 'b'], layout)).toEqual({ a: [2], b: [1] });
	});
	it('reads an empty cell and NaN as a gap, never as zero', () => {
		expect(read('a,b\n,1\nNaN,2\n')).toEqual({ a: [Number.NaN, Number.NaN], b: [1, 2] });
	});
	it('reads every number as JavaScript does (property, 2 000 numbers written in several ways)', () => {
		const number = fc.oneof(
			fc.double({ noNaN: true, noDefaultInfinity: true }),
			fc.double({ min: -100, max: 100, noNaN: true }),
		);
		const written = fc.tuple(number, fc.integer({ min: 0, max: 3 })).map(([value, way]) => {
			if (way === 0) return String(value);
			if (way === 1) return value.toExponential(7);
			return Math.abs(value) < 1e6 ? value.toFixed(way * 4) : String(value);
		});
		fc.assert(
			fc.property(fc.array(written, { minLength: 1, maxLength: 20 }), (texts) => {
				expect(read(`a\n${texts.join('\n')}\n`, ['a'])).toEqual({ a: texts.map(Number) });
			}),
		);
	});
	it('gives the same columns whatever the pieces (property)', () => {
		const text = 'a,b\n1.25,-3\n,4\n5e3,0.000001\n-7,8';
		const whole = read(text);
		fc.assert(
			fc.property(fc.integer({ min: 1, max: 40 }), (size) => {
				expect(read(text, ['a', 'b'], {}, size)).toEqual(whole);
			}),
		);
	});
	it('says which line and column holds no number, which row is short, which heading is missing', () => {
		expect(read('a,b\n1,2\n1,oops\n')).toMatchObject({ code: 'not-a-number', found: 'oops', path: 'line 3, column 2' });
		expect(read('a,b\n1,Infinity\n')).toMatchObject({ code: 'not-a-number' });
		expect(read('a,b\n1\n')).toMatchObject({ code: 'short-row', path: 'line 2' });
		expect(read('a,c\n1,2\n')).toMatchObject({ code: 'missing-column', found: 'a, c', needed: 'b' });
		expect(read('')).toMatchObject({ code: 'not-this-format' });
		expect(read('a,b\n1,2\n', ['a', 'b'], { timeColumn: 'seconds' })).toMatchObject({
			code: 'missing-column',
			needed: 'seconds',
		});
	});
	it('holds a column of seconds against the sample rate', () => {
		const rows = (stepS: number) => Array.from({ length: 300 }, (_, k) => `${k * stepS},1`).join('\n');
		expect(read(`timeS,a\n${rows(0.01)}`, ['a'])).toMatchObject({ a: expect.arrayContaining([1]) });
		expect(read(`timeS,a\n${rows(0.02)}`, ['a'])).toMatchObject({
			code: 'sample-rate-differs',
			needed: '100 Hz',
			path: 'line 102',
		});
	});
	it('refuses a megabyte without a line end as noise, and holds no more than that', () => {
		const reader = new CsvReader(['a'], 100);
		let refused = false;
		for (let k = 0; k < 100 && !refused; k++) refused = !reader.push(new Uint8Array(64 * 1024).fill(0x61)).ok;
		expect(refused).toBe(true);
	});
});
