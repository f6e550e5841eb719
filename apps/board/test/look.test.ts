import { describe, expect, it } from 'vitest';
import { Look } from '../src/lib/look/look.svelte.js';

/** A store that keeps one device's choices, or refuses to. */
function storage(isRefused = false): Storage {
	const kept = new Map<string, string>();
	return {
		get length() {
			return kept.size;
		},
		clear: () => kept.clear(),
		key: (index) => [...kept.keys()][index] ?? null,
		getItem: (key) => kept.get(key) ?? null,
		removeItem: (key) => {
			kept.delete(key);
		},
		setItem: (key, value) => {
			if (isRefused) throw new Error('quota');
			kept.set(key, value);
		},
	};
}

describe('Look', () => {
	it('keeps theme, hand and millimetre on the device', () => {
		const device = storage();
		new Look(device).choose({ theme: 'night', hand: 'left' });
		new Look(device).choose({ pxPerMm: 5.3 });
		const again = new Look(device);
		expect([again.theme, again.hand, again.pxPerMm]).toEqual(['night', 'left', 5.3]);
	});

	it('lasts for the visit when the device refuses to keep it', () => {
		const look = new Look(storage(true));
		look.choose({ theme: 'sun' });
		expect(look.theme).toBe('sun');
	});

	it('works without any storage', () => {
		const look = new Look(null);
		look.choose({ hand: 'left' });
		expect(look.hand).toBe('left');
	});
});
