import { describe, expect, it } from 'vitest';
import { cursorAfter, typistText, typistWords } from '../src/lib/narrative/typist.js';

describe('who is typing', () => {
	const people = new Map([['key', { name: 'Demo engineer' }]]) as never;

	it('is told by name, or as somebody when two began at once or nobody knows the key', () => {
		expect(typistWords(typistText('key', 3), people)).toBe('Demo engineer is typing.');
		expect(typistWords('kkeeyy 1 2', people)).toBe('Somebody else is typing.');
		expect(typistWords('', people)).toBe('Somebody else is typing.');
	});
});

describe('cursorAfter(before, after, cursor)', () => {
	it.each([
		['added behind it', 'the link', 'the link was long', 3, 3],
		['added before it', 'the link', 'Then the link', 8, 13],
		['added before it, in the middle', 'the link', 'the new link', 8, 12],
		['taken away before it', 'the new link', 'the link', 12, 8],
		['taken away around it', 'the new link', 'the link', 6, 4],
		['all taken away', 'the link', '', 5, 0],
	])('%s', (_what, before, after, cursor, expected) => {
		expect(cursorAfter(before, after, cursor)).toBe(expected);
	});
});
