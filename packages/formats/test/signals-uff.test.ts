import { Buffer } from 'node:buffer';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readUff58 } from '../src/signals/index.js';

const source = '[ladisk/pyuff data folder, MIT, tests/data/uff58-samples; basis: published]';
const file = (name: string) =>
	new Uint8Array(readFileSync(new URL(`../../../tests/data/uff58-samples/${name}`, import.meta.url)));
const only = (name: string) => {
	const read = readUff58(file(name));
	if (!read.ok) throw new Error(JSON.stringify(read.problem));
	expect(read.value).toHaveLength(1);
	const [dataset] = read.value;
	if (!dataset) throw new Error('one dataset expected');
	return dataset;
};

describe('readUff58 on real exports', () => {
	it(`reads a binary microphone record: 79,292 samples at 65,536 Hz ${source}`, () => {
		const { head, values, imaginary, abscissa } = only('mic_binary58b.uff');
		expect(head).toMatchObject({
			functionType: 1,
			count: 79_292,
			even: true,
			responseName: 'Mic 01',
			responseDirection: 1,
			ordinateUnit: 'Pa',
			abscissaUnit: 's',
		});
		expect(1 / head.abscissaStep).toBeCloseTo(65_536, -1);
		expect(values).toHaveLength(79_292);
		expect(values.every(Number.isFinite)).toBe(true);
		expect([imaginary, abscissa]).toEqual([null, null]);
	});
	it(`reads its ASCII twin to the same values (5e-6 relative: six printed digits) ${source}`, () => {
		const text = only('mic_ascii58_first4098.uff');
		const binary = only('mic_binary58b.uff');
		expect(text.values).toHaveLength(4098);
		text.values.forEach((value, k) => {
			expect(Math.abs(value / (binary.values[k] ?? Number.NaN) - 1)).toBeLessThan(5e-6);
		});
		expect(text.values[0]).toBe(-0.0147553);
	});
	it(`reads a complex spectrum with its own abscissa on every line, and its Latin-1 unit ${source}`, () => {
		const { head, values, imaginary, abscissa } = only('psd_ascii58.uff');
		expect(head).toMatchObject({
			functionType: 9,
			count: 3201,
			even: false,
			ordinateUnit: 'g²/Hz',
			responseName: 'Pilot 1',
		});
		expect(abscissa?.slice(0, 3)).toEqual(Float64Array.of(0, 1, 2));
		expect(values.slice(0, 3)).toEqual(Float64Array.of(0, 1.255863e-6, 4.31177e-7));
		expect(imaginary?.every((value) => value === 0)).toBe(true);
		expect(abscissa?.at(-1)).toBe(3200);
	});
	it(`reads 13 samples whose last line is short, with three-digit exponents and a UTF-8 unit ${source}`, () => {
		const { head, values } = only('time13_ascii58.uff');
		expect(head).toMatchObject({ count: 13, abscissaStep: 5e-5, ordinateUnit: 'm/s²' });
		expect(values).toHaveLength(13);
		expect(values[0]).toBe(-3.81956);
	});
});

describe('readUff58 on files made for it', () => {
	const head = (form: string) => [
		'a',
		'b',
		'c',
		'd',
		'e',
		'    1         0    0         0 lat                4   3 NONE               0   0',
		form,
		...new Array(4).fill('         0    0    0    0 NONE                 NONE'),
	];
	const text = (form: string, values: string) =>
		new Uint8Array(Buffer.from(['    -1', '    58', ...head(form), values, '    -1', ''].join('\n')));

	it('reads several datasets, passes over other kinds, and takes Fortran exponents', () => {
		const first = Buffer.from(text('         4         2         1  0.0  1.0E-03  0.0', ' 1.0D+00 2.5D-01'));
		const other = Buffer.from('    -1\n   164\n something\n    -1\n');
		const second = Buffer.from(text('         2         1         1  0.0  1.0E-03  0.0', ' 7'));
		const read = readUff58(new Uint8Array(Buffer.concat([first, other, second])));
		expect(read.ok && read.value.map(({ values }) => [...values])).toEqual([[1, 0.25], [7]]);
	});
	it('reads big-endian double precision in binary', () => {
		const values = Buffer.alloc(16);
		values.writeDoubleBE(1.5, 0);
		values.writeDoubleBE(-2.25, 8);
		const start = Buffer.from(
			[
				'    -1',
				'    58b     2     2          11          16     0     0           0           0',
				...head('         4         2         1  0.0  1.0E-03  0.0'),
				'',
			].join('\r\n'),
		);
		const read = readUff58(new Uint8Array(Buffer.concat([start, values, Buffer.from('    -1\r\n')])));
		expect(read.ok && [...(read.value[0]?.values ?? [])]).toEqual([1.5, -2.25]);
	});
	it('refuses a count that is not there, a word among the numbers, an unknown type and what is no Universal File', () => {
		expect(readUff58(text('         2 900000000         1  0.0  1.0E-03  0.0', ' 1 2 3'))).toMatchObject({
			problem: { code: 'not-this-format', found: '3 of 900000000' },
		});
		expect(readUff58(text('         2         2         1  0.0  1.0E-03  0.0', ' 1 two'))).toMatchObject({
			problem: { code: 'not-a-number', found: 'two', path: 'dataset 1, value 2' },
		});
		expect(readUff58(text('         9         2         1  0.0  1.0E-03  0.0', ' 1 2'))).toMatchObject({
			problem: { code: 'not-supported' },
		});
		expect(readUff58(text('   nonsense', ' 1 2'))).toMatchObject({
			problem: { code: 'not-this-format', path: 'dataset 1, line 7' },
		});
		expect(readUff58(new Uint8Array(Buffer.from('hello')))).toMatchObject({
			problem: { code: 'not-this-format', found: 'no dataset 58' },
		});
		const cut = file('mic_binary58b.uff').subarray(0, 5000);
		expect(readUff58(cut)).toMatchObject({ problem: { code: 'not-this-format', path: 'dataset 1' } });
	});
});
