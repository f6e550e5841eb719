import { Buffer } from 'node:buffer';
import { describe, expect, it } from 'vitest';
import { WavReader } from '../src/signals/index.js';

type Form = readonly [code: number, bits: number];

/** A RIFF WAVE file of two channels; samples in −1 to 1. */
function wav(
	form: Form,
	rateHz: number,
	samples: readonly (readonly [number, number])[],
	extra: { readonly extensible?: boolean; readonly size?: number; readonly list?: boolean } = {},
): Uint8Array {
	const [code, bits] = form;
	const width = bits / 8;
	const data = Buffer.alloc(samples.length * 2 * width);
	samples.flat().forEach((value, k) => {
		const at = k * width;
		if (code === 3 && bits === 32) data.writeFloatLE(value, at);
		else if (code === 3) data.writeDoubleLE(value, at);
		else data.writeIntLE(Math.round(value * (2 ** (bits - 1) - 1)), at, width);
	});
	const fmt = Buffer.alloc(extra.extensible ? 40 : 16);
	fmt.writeUInt16LE(extra.extensible ? 0xfffe : code, 0);
	fmt.writeUInt16LE(2, 2);
	fmt.writeUInt32LE(rateHz, 4);
	fmt.writeUInt32LE(rateHz * 2 * width, 8);
	fmt.writeUInt16LE(2 * width, 12);
	fmt.writeUInt16LE(bits, 14);
	if (extra.extensible) fmt.writeUInt16LE(code, 24);
	const chunk = (name: string, body: Buffer, size = body.length) => {
		const head = Buffer.alloc(8);
		head.write(name);
		head.writeUInt32LE(size, 4);
		return Buffer.concat([head, body, Buffer.alloc(body.length % 2)]);
	};
	const body = Buffer.concat([
		Buffer.from('WAVE'),
		...(extra.list ? [chunk('LIST', Buffer.from('odd'))] : []),
		chunk('fmt ', fmt),
		chunk('data', data, extra.size ?? data.length),
		...(extra.size === undefined && extra.list ? [chunk('note', Buffer.from('after'))] : []),
	]);
	return new Uint8Array(chunk('RIFF', body));
}

const samples: readonly (readonly [number, number])[] = Array.from(
	{ length: 50 },
	(_, k) => [Math.sin(k / 5), Math.cos(k / 3)] as const,
);

function read(file: Uint8Array, pieceSize: number, fullScale?: readonly number[]) {
	const reader = new WavReader({ channels: ['a', 'b'], fullScale }, 1000);
	const a: number[] = [];
	const b: number[] = [];
	for (let at = 0; at < file.length; at += pieceSize) {
		const pushed = reader.push(file.subarray(at, at + pieceSize));
		if (!pushed.ok) return pushed.problem;
		a.push(...(pushed.value.a ?? []));
		b.push(...(pushed.value.b ?? []));
	}
	const last = reader.finish();
	return last.ok ? { a, b } : last.problem;
}

describe('WavReader', () => {
	for (const [form, step] of [
		[[1, 16], 2 ** -15],
		[[1, 24], 2 ** -23],
		[[1, 32], 2 ** -31],
		[[3, 32], 2 ** -23],
		[[3, 64], 1e-15],
	] as const) {
		it(`reads ${form[0] === 1 ? 'PCM' : 'float'} of ${form[1]} bits to one step, in pieces of any size`, () => {
			for (const pieceSize of [1, 7, 100_000]) {
				const columns = read(wav(form, 1000, samples), pieceSize);
				if (!('a' in columns)) throw new Error(JSON.stringify(columns));
				expect(columns.a).toHaveLength(50);
				samples.forEach(([a, b], k) => {
					expect(Math.abs((columns.a[k] ?? Number.NaN) - a)).toBeLessThanOrEqual(1.5 * step);
					expect(Math.abs((columns.b[k] ?? Number.NaN) - b)).toBeLessThanOrEqual(1.5 * step);
				});
			}
		});
	}
	it('reads the extensible form, passes over other chunks (an odd one padded) and stops at the end of the data', () => {
		const columns = read(wav([1, 16], 1000, samples, { extensible: true, list: true }), 33);
		expect(columns).toMatchObject({ a: expect.any(Array) });
		expect('a' in columns && columns.a).toHaveLength(50);
	});
	it('reads to the end of the file when the stated length is unset, as of a recording broken off', () => {
		for (const size of [0, 0xffffffff, 1_000_000]) {
			const columns = read(wav([1, 16], 1000, samples, { size }), 64);
			expect('a' in columns && columns.a).toHaveLength(50);
		}
	});
	it('multiplies by the stated full scale of each channel', () => {
		const columns = read(wav([3, 32], 1000, [[0.5, -0.25]]), 1e6, [20, 8]);
		expect(columns).toEqual({ a: [10], b: [-2] });
	});
	it('refuses another rate than the setup: nothing is resampled', () => {
		expect(read(wav([1, 16], 44_100, samples), 1e6)).toMatchObject({
			code: 'sample-rate-differs',
			found: '44100 Hz',
			needed: '1000 Hz',
		});
	});
	it('refuses what is no WAV file, 8-bit samples, too few channels, and a file that ends before its samples', () => {
		expect(read(new Uint8Array(Buffer.from('this is text, not sound')), 1e6)).toMatchObject({
			code: 'not-this-format',
			needed: 'RIFF WAVE',
		});
		expect(read(wav([1, 8], 1000, samples), 1e6)).toMatchObject({
			code: 'not-supported',
			found: 'format 1 with 8 bits',
		});
		expect(read(wav([1, 16], 1000, samples).subarray(0, 30), 1e6)).toMatchObject({
			code: 'not-this-format',
			needed: 'a data chunk',
		});
		const reader = new WavReader({ channels: ['a', 'b', 'c'] }, 1000);
		expect(reader.push(wav([1, 16], 1000, samples))).toMatchObject({
			problem: { code: 'missing-column', found: '2 channels' },
		});
	});
});
