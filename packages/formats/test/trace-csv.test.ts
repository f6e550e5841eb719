import { ok } from '@stillmast/core/result';
import { describe, expect, it } from 'vitest';
import { TraceReader } from '../src/trace/index.js';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

/** Reads a whole text in pieces of a size. */
function read(text: string, pieceBytes = 1 << 16) {
	const rows: [number, (number | string)[]][] = [];
	let columns: readonly string[] = [];
	const reader = new TraceReader((ids) => {
		columns = ids;
		return (timeS, cells) => {
			rows.push([timeS, [...cells]]);
			return ok(null);
		};
	});
	const all = bytes(text);
	for (let at = 0; at < all.length; at += pieceBytes) {
		const pushed = reader.push(all.subarray(at, at + pieceBytes));
		if (!pushed.ok) return { problem: pushed.problem, rows, columns };
	}
	const finished = reader.finish();
	return finished.ok ? { problem: null, rows, columns } : { problem: finished.problem, rows, columns };
}

describe('TraceReader', () => {
	it('reads numbers, empty cells and states, whatever the size of the pieces', () => {
		const text = '\ufefftimeS,torquePct,phase\r\n0,91.5,hover\r\n0.5,,hover\n1.0,93,"climb"';
		for (const pieceBytes of [1, 3, 7, 1000]) {
			const { problem, rows, columns } = read(text, pieceBytes);
			expect(problem).toBeNull();
			expect(columns).toEqual(['torquePct', 'phase']);
			expect(rows).toEqual([
				[0, [91.5, 'hover']],
				[0.5, [Number.NaN, 'hover']],
				[1, [93, 'climb']],
			]);
		}
	});

	it.each([
		['', 'no-header', 'line 1'],
		['torquePct,timeS\n', 'no-time-column', 'line 1'],
		['timeS,a,a\n', 'duplicate-column', 'line 1'],
		['timeS,a,\n', 'empty-column', 'line 1'],
		['timeS,a\n0,1\n1\n', 'row-length', 'line 3'],
		['timeS,a\n0,1,2\n', 'row-length', 'line 2'],
		['timeS,a\nnoon,1\n', 'not-a-time', 'line 2'],
	])('%j is refused with %s at %s', (text, code, path) => {
		expect(read(text).problem).toMatchObject({ code, path });
	});
});
