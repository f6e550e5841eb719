import type { Entry } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { Intake } from '../src/client/session/intake.js';
import { ChainWriter, EntrySet, hashEntry } from '../src/index.js';
import { penKey, smallRecord, writerOptions } from './client-world/crew.js';

const hashes = (entries: readonly Entry[]) => entries.map((entry) => entry.hash).sort();

describe('Intake.take(values)', () => {
	it('[DEV-6] takes a whole record in any order, and the same again adds nothing', async () => {
		const { set, entries } = await smallRecord(1, 20);
		const mine = new EntrySet(set.record);
		const intake = new Intake(mine);
		const taken = await intake.take([...entries].reverse());
		expect(hashes(taken.added)).toEqual(hashes(entries));
		expect(taken.refused).toEqual([]);
		expect((await intake.take(entries)).added).toEqual([]);
		expect(mine.size).toBe(21);
	});

	it('[DEV-6] an altered entry is refused by its hash, one with a recomputed hash by its signature', async () => {
		const { set, entries } = await smallRecord(2, 3);
		const last = entries[3] as Entry;
		const altered = { ...last, text: 'something else' };
		const forged = { ...altered, hash: hashEntry(altered) };
		const mine = new EntrySet(set.record);
		const intake = new Intake(mine);
		const taken = await intake.take([...entries.slice(0, 3), altered, forged]);
		expect(taken.added).toHaveLength(3);
		expect(taken.refused.map((problem) => problem.code)).toEqual(['hash-differs', 'signature-wrong']);
		expect(mine.has(forged.hash)).toBe(false);
		expect((await intake.take([last])).added).toHaveLength(1);
	});

	it('[DEV-6] a forged last entry does not take the sound ones before it along', async () => {
		const { set, entries } = await smallRecord(3, 3);
		const altered = { ...(entries[3] as Entry), text: 'x' };
		const forged = { ...altered, hash: hashEntry(altered) };
		const intake = new Intake(new EntrySet(set.record));
		const taken = await intake.take([forged, ...entries.slice(0, 3)]);
		expect(hashes(taken.added)).toEqual(hashes(entries.slice(0, 3)));
	});

	it('[DEV-6] entries of a chain whose first one is not here yet wait, and come in with it', async () => {
		const { set, entries } = await smallRecord(4, 3);
		const intake = new Intake(new EntrySet(set.record));
		expect((await intake.take(entries.slice(2))).added).toEqual([]);
		expect(intake.waiting).toBe(2);
		expect((await intake.take(entries.slice(0, 2))).added).toHaveLength(4);
		expect(intake.waiting).toBe(0);
	});

	it('[DEV-6] later entries of a chain are proved by the key that the set knows', async () => {
		const { set, entries } = await smallRecord(5, 4);
		const mine = new EntrySet(set.record, entries.slice(0, 2));
		expect((await new Intake(mine).take(entries.slice(2))).added).toHaveLength(3);
	});

	it('[DEV-6] entries of another record and things that are no entries are refused, whatever they are', async () => {
		const { set } = await smallRecord(6, 0);
		const other = await smallRecord(7, 1);
		const intake = new Intake(set);
		const taken = await intake.take([
			...other.entries,
			null,
			3,
			'entry',
			[],
			{ hash: 'x' },
			{ hash: set.record, v: 1 },
		]);
		expect(taken.added).toEqual([]);
		expect(taken.refused).toHaveLength(7);
		expect(taken.refused.filter((problem) => problem.code === 'foreign')).toHaveLength(2);
	});

	it('[DEV-6] a key that is not enrolled may write: its entries are proved and kept, counting is the fold’s', async () => {
		const { set } = await smallRecord(8, 0);
		const mine = new EntrySet(set.record, set.inOrder());
		const stranger = new ChainWriter(set, writerOptions(await penKey(99), 98));
		const written = await stranger.write('remark', { to: null, asks: true, text: 'who am I' });
		if (!written.ok) throw new Error(written.problem.code);
		expect((await new Intake(mine).take([written.value])).added).toHaveLength(1);
	});
});
