import { describe, expect, it } from 'vitest';
import {
	addEntries,
	applyUpdate,
	createCarrier,
	guardUpdate,
	isWaiting,
	missingUpdate,
	stateVector,
	updateOf,
} from '../src/carrier/index.js';
import { smallRecord } from './client-world/crew.js';

describe('missingUpdate(doc, theirs)', () => {
	it('gives only what the document shows: updates that wait for others stay out, and wait on', async () => {
		const { set, entries } = await smallRecord(31, 3);
		const other = createCarrier();
		const updates = entries.map((entry) => {
			const before = stateVector(other);
			addEntries(other, [entry]);
			const update = missingUpdate(other, before);
			if (!update.ok) throw new Error(update.problem.code);
			return update.value;
		});
		const mine = createCarrier();
		applyUpdate(mine, updateOf(entries.slice(0, 1)));
		applyUpdate(mine, updates[3] as Uint8Array);
		expect(isWaiting(mine)).toBe(true);
		const given = missingUpdate(mine);
		expect(given.ok && guardUpdate(given.value, set.record)).toMatchObject({
			ok: true,
			value: { entries: [entries[0]] },
		});
		expect(isWaiting(mine)).toBe(true);
		for (const update of updates) applyUpdate(mine, update);
		expect(isWaiting(mine)).toBe(false);
		const all = missingUpdate(mine);
		// the first entry was set by two documents, so it is there twice with the same content
		const guarded = guardUpdate(all.ok ? all.value : new Uint8Array(), set.record);
		if (!guarded.ok) throw new Error(guarded.problem.code);
		expect(new Set(guarded.value.entries.map(({ hash }) => hash)).size).toBe(4);
	});
});
