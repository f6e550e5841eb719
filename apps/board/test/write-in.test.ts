import { describe, expect, it } from 'vitest';
import type { LiveCheck } from '../src/lib/live/live-check.svelte.js';
import { WriteIn } from '../src/lib/paper/write-in.svelte.js';

/** A check with its first flight open, that keeps what is written into it. */
function openCheck() {
	const written: unknown[] = [];
	const opened = { kind: 'flight', flight: 1, state: 'opened' };
	const check = {
		state: {
			flights: [{ flight: 1, opened: { holds: opened, entries: [opened] }, closed: null, runs: [] }],
		},
		session: {
			async write(kind: string, fields: object) {
				written.push({ kind, ...fields });
				return { ok: true };
			},
		},
	};
	return { page: new WriteIn(check as unknown as LiveCheck), written };
}

const field = (unit: string) =>
	({ kind: 'number', id: 'read', name: 'read', unit, resolution: 0.5, isRequired: true }) as never;

describe('copying a number from paper', () => {
	it('takes what lies below zero where the quantity can, with either minus and either mark', async () => {
		const { page, written } = openCheck();
		for (const text of ['-4.5', '\u22124,5']) await page.keep(field('\u00b0C'), 'walk-round', [text]);
		expect(page.trouble).toBeNull();
		expect(written).toMatchObject([{ value: -4.5 }, { value: -4.5 }]);
	});

	it('refuses it where it cannot, and says the range', async () => {
		const { page, written } = openCheck();
		await page.keep(field('%'), 'hover', ['-4.5']);
		expect(page.trouble).toBe('Write a number from 0 to 100000.');
		expect(written).toEqual([]);
	});
});
