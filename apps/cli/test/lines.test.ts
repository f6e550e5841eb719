import { Readable } from 'node:stream';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linesOf } from '../src/document/lines.js';

async function linesFrom(chunks: readonly Uint8Array[], limit?: number) {
	const found: (string | { readonly code: string })[] = [];
	for await (const { bytes } of linesOf(Readable.from(chunks.map((chunk) => Buffer.from(chunk))), limit)) {
		found.push(bytes.ok ? Buffer.from(bytes.value).toString() : { code: bytes.problem.code });
	}
	return found;
}

describe('linesOf(stream, limitBytes)', () => {
	it('gives the same lines however the stream is cut into chunks', async () => {
		const text = 'a\n\nbé\r\nc';
		const bytes = Buffer.from(text);
		const expected = text.split('\n');
		await fc.assert(
			fc.asyncProperty(fc.array(fc.nat(bytes.length)), async (cuts) => {
				const places = [0, ...[...cuts].sort((a, b) => a - b), bytes.length];
				const chunks = places.slice(1).map((to, at) => bytes.subarray(places[at], to));
				expect(await linesFrom(chunks)).toEqual(expected);
			}),
			{ seed: 5, numRuns: 200 },
		);
	});

	it('reports a line above the limit in its place and goes on with the next', async () => {
		expect(await linesFrom([Buffer.from('ab\nabc\nabcd\nx\nabcde')], 3)).toEqual([
			'ab',
			'abc',
			{ code: 'too-large' },
			'x',
			{ code: 'too-large' },
		]);
	});

	it('numbers lines from 1 and gives none for an empty stream', async () => {
		const numbers: number[] = [];
		for await (const { number } of linesOf(Readable.from([Buffer.from('a\nb\n')]))) numbers.push(number);
		expect(numbers).toEqual([1, 2]);
		expect(await linesFrom([])).toEqual([]);
	});
});
