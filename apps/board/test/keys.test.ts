import { describe, expect, it } from 'vitest';
import { type KeyList, keyFor } from '../src/lib/keys/key-list.js';

const pressed = { key: 'm', ctrlKey: false, metaKey: false, altKey: false, isInText: false };
const does = () => undefined;
const lists: readonly KeyList[] = [
	{ title: 'Everywhere', keys: [{ key: '?', says: 'this sheet', does }] },
	{ title: 'Cockpit', keys: [{ key: 'm', says: 'mark', does }] },
	{
		title: 'Face',
		keys: [
			{ key: 'Escape', says: 'back', does },
			{ key: 'm', says: 'mark again', does },
		],
	},
	{ title: 'Lever', keys: [{ key: 'ArrowUp', says: 'heard by the lever itself' }] },
];

describe('keyFor(lists, pressed, hasLetterKeys)', () => {
	it('takes the list that came last, whatever the size of the letter', () => {
		expect(keyFor(lists, pressed, true)?.says).toBe('mark again');
		expect(keyFor(lists, { ...pressed, key: 'M' }, true)?.says).toBe('mark again');
		expect(keyFor(lists, { ...pressed, key: '?' }, true)?.says).toBe('this sheet');
	});

	it('[BRD-1] leaves single signs alone in text, with a modifier, and when they are switched off', () => {
		for (const change of [{ isInText: true }, { ctrlKey: true }, { metaKey: true }, { altKey: true }])
			expect(keyFor(lists, { ...pressed, ...change }, true)).toBeNull();
		expect(keyFor(lists, pressed, false)).toBeNull();
		expect(keyFor(lists, { ...pressed, key: '?' }, false)).toBeNull();
	});

	it('keeps keys that are no sign, in text and with letters switched off', () => {
		expect(keyFor(lists, { ...pressed, key: 'Escape', isInText: true }, false)?.says).toBe('back');
	});

	it('passes over what a part hears itself', () => {
		expect(keyFor(lists, { ...pressed, key: 'ArrowUp' }, true)).toBeNull();
		expect(keyFor(lists, { ...pressed, key: 'z' }, true)).toBeNull();
	});
});
