import type { Entry } from '@stillmast/formats/entry';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { admitEntry, ChainWriter, compareEntries, EntrySet, hashEntry, prove } from '../src/index.js';
import {
	enrolHand,
	type Hand,
	hover,
	newHand,
	openTestRecord,
	seededKey,
	seededRandom,
	shuffled,
	stillClock,
} from './world/people.js';

/** Three people writing by turns, each hearing the others now and then. */
async function threeHands(seed: number): Promise<{ all: EntrySet; hands: Hand[] }> {
	const creator = await openTestRecord(seed);
	const pilot = await enrolHand(creator, 'pilot', seed + 1);
	const support = await enrolHand(creator, 'support', seed + 2);
	const hands = [creator, pilot, support];
	for (let turn = 0; turn < 12; turn++) {
		const hand = hands[(turn * 7 + seed) % 3] as Hand;
		if (turn % 4 === 1) for (const other of hands) hand.hear(other.set);
		await hand.write('remark', { to: null, asks: false, text: `turn ${turn}` });
	}
	const all = new EntrySet(creator.set.record);
	for (const { set } of hands) for (const entry of set.inOrder()) all.add(entry);
	return { all, hands };
}

describe('ChainWriter.write(kind, fields)', () => {
	it('[REC-7] keeps a chain whole when calls overlap', async () => {
		const hand = await openTestRecord();
		const texts = Array.from({ length: 20 }, (_, i) => `${i}`);
		const written = await Promise.all(texts.map((text) => hand.write('remark', { to: null, asks: false, text })));
		expect(written.map(({ seq }) => seq)).toEqual(texts.map((_, i) => i + 2));
		expect(written.map(({ text }) => text)).toEqual(texts);
		for (const [i, entry] of written.entries()) {
			if (i > 0) expect(entry.prev).toBe(written[i - 1]?.hash);
		}
	});

	it('[REC-7] uses no seq for fields that are wrong, and tells the path', async () => {
		const hand = await openTestRecord();
		const refused = await hand.writer.write('vibration', { ...hover, amplitudeIps: Number.NaN, phaseDeg: null });
		expect(refused).toMatchObject({ ok: false, problem: { code: 'wrong-fields', path: '$.amplitudeIps' } });
		expect((await hand.write('remark', { to: null, asks: false, text: 'next' })).seq).toBe(2);
	});

	it('[REC-7] goes on after a key that failed once', async () => {
		const { set } = await openTestRecord();
		const good = seededKey(5);
		let fails = true;
		const key = {
			...good,
			sign: (text: string) => (fails ? Promise.reject(new Error('key store closed')) : good.sign(text)),
		};
		const writer = new ChainWriter(set, { key, random: seededRandom(9), clock: stillClock(), unlocked: 'by-code' });
		await expect(writer.write('remark', { to: null, asks: false, text: 'lost' })).rejects.toThrow('key store closed');
		fails = false;
		const second = await writer.write('remark', { to: null, asks: false, text: 'kept' });
		expect(second).toMatchObject({ ok: true, value: { seq: 1 } });
	});

	it('[REC-8] gives a second page load its own chain, naming the first one as its own and counting on from it', async () => {
		const first = await openTestRecord();
		const last = await first.write('remark', { to: null, asks: false, text: 'before the reload' });
		const second = first.reload(77);
		const entry = await second.write('remark', { to: null, asks: false, text: 'after it' });
		expect(entry).toMatchObject({ seq: 1, prev: null, n: 3, pen: { heads: [last.hash] } });
		expect(entry.chain).not.toBe(last.chain);
		expect(first.set.alarms()).toEqual([]);
	});

	it('[REC-9] names everything here that nothing has named, and counts n from it', async () => {
		const creator = await openTestRecord();
		const pilot = await enrolHand(creator, 'pilot', 2);
		const heard = await creator.write('remark', { to: null, asks: false, text: 'three' });
		pilot.hear(creator.set);
		const entry = await pilot.write('remark', { to: null, asks: false, text: 'four' });
		expect(entry.seen).toEqual([heard.hash]);
		expect(entry.n).toBe(heard.n + 1);
		const next = await pilot.write('remark', { to: null, asks: false, text: 'five' });
		expect(next).toMatchObject({ seen: [], n: heard.n + 2, prev: entry.hash });
	});

	it('[REC-9] names at most 64 and the rest in the next entry', async () => {
		const creator = await openTestRecord();
		const all = new EntrySet(creator.set.record, creator.set.inOrder());
		for (let i = 0; i < 70; i++) {
			const hand = newHand(creator.set, 100 + i);
			all.add((await hand.write('remark', { to: null, asks: false, text: `${i}` })) as unknown as Entry);
		}
		creator.hear(all);
		const first = await creator.write('remark', { to: null, asks: false, text: 'first' });
		const second = await creator.write('remark', { to: null, asks: false, text: 'second' });
		expect([first.seen.length, second.seen.length]).toEqual([64, 6]);
		expect(new Set([...first.seen, ...second.seen]).size).toBe(70);
	});

	it('[REC-9] names no entry whose n is wrong: whoever claims the greatest number does not stop the others', async () => {
		const creator = await openTestRecord();
		const opened = creator.set.inOrder()[0] as Entry;
		const claim = async (seen: readonly string[]) => {
			const { hash: _hash, sig: _sig, ...content } = opened;
			const pen = { publicKey: seededKey(5).publicKey, heads: [], keeping: 'extractable', unlocked: 'by-code' };
			const said = { kind: 'remark', to: null, asks: false, text: 'last of all' };
			const links = { record: opened.hash, chain: 'B'.repeat(10).concat('A'), n: Number.MAX_SAFE_INTEGER, seen, pen };
			const entry = { ...content, ...said, ...links, by: seededKey(5).fingerprint } as unknown as Entry;
			return { ...entry, hash: hashEntry(entry), sig: 'A'.repeat(86) };
		};
		for (const seen of [[], ['A'.repeat(43)]]) {
			const set = new EntrySet(opened.hash, [opened, await claim(seen)]);
			expect(set.size).toBe(2);
			const options = { key: creator.key, random: seededRandom(8), clock: stillClock(), unlocked: 'by-code' } as const;
			const written = await new ChainWriter(set, options, opened).write('remark', {
				to: null,
				asks: false,
				text: 'still here',
			});
			expect(written).toMatchObject({ ok: true, value: { seen: [], n: 2 } });
		}
	});

	it('[REC-2] hashes everything but hash and sig: no other field can be altered', async () => {
		const hand = await openTestRecord();
		const entry = (await hand.write('vibration', { ...hover, amplitudeIps: 0.31, phaseDeg: 118 })) as unknown as Entry;
		expect(hashEntry(entry)).toBe(entry.hash);
		for (const key of Object.keys(entry)) {
			if (key === 'hash' || key === 'sig') continue;
			const altered = { ...entry, [key]: 'altered' } as unknown as Entry;
			expect(hashEntry(altered), key).not.toBe(entry.hash);
			expect(admitEntry(altered).ok, key).toBe(false);
		}
	});
});

describe('EntrySet', () => {
	it('[REC-11] answers the same whatever the order of arrival, each entry twice', async () => {
		for (const seed of [1, 2, 3, 4, 5]) {
			const { all } = await threeHands(seed * 10);
			const answers = (set: EntrySet) => ({
				order: set.inOrder().map(({ hash }) => hash),
				heads: set.heads(),
				frontier: set.frontier().map(({ hash }) => hash),
				missing: [...set.missing.keys()],
			});
			const expected = answers(all);
			expect(expected.missing).toEqual([]);
			for (let order = 0; order < 40; order++) {
				const twice = shuffled([...all.inOrder(), ...all.inOrder()], seed * 1000 + order);
				const set = new EntrySet(all.record);
				for (const [i, entry] of twice.entries()) {
					set.add(entry);
					if (i % 5 === order % 5) set.inOrder();
				}
				expect(answers(set)).toEqual(expected);
			}
		}
	});

	it('[REC-11] knows the past as the links say, against a search over all links (own simplest method)', async () => {
		const { all } = await threeHands(7);
		const entries = all.inOrder();
		const set = new EntrySet(all.record, shuffled(entries, 3));
		for (const later of entries) {
			const past = set.causality.past([later.hash]);
			for (const earlier of entries) {
				const expected = earlier !== later && past.has(earlier.hash);
				expect(set.causality.isBefore(earlier, later), `${earlier.n} before ${later.n}`).toBe(expected);
			}
		}
	});

	it('[REC-11] order by n, chain, seq, hash puts every entry after all that it names', async () => {
		const { all } = await threeHands(8);
		const place = new Map(all.inOrder().map((entry, i) => [entry.hash, i]));
		for (const entry of all.inOrder()) {
			for (const named of [entry.prev, ...entry.seen]) {
				if (named !== null) expect(place.get(named)).toBeLessThan(place.get(entry.hash) as number);
			}
		}
		fc.assert(
			fc.property(fc.nat(all.size - 1), fc.nat(all.size - 1), (i, j) => {
				const [a, b] = [all.inOrder()[i] as Entry, all.inOrder()[j] as Entry];
				expect(Math.sign(compareEntries(a, b))).toBe(Math.sign(i - j));
			}),
			{ seed: 3, numRuns: 100 },
		);
	});

	it('[REC-13] keeps both of two entries of one chain and seq, and tells of it', async () => {
		const creator = await openTestRecord();
		const copy = new EntrySet(creator.set.record, creator.set.inOrder());
		const opened = creator.set.inOrder()[0] as Entry;
		// A restored backup: the same chain is gone on with twice.
		const options = { key: creator.key, random: seededRandom(3), clock: stillClock(), unlocked: 'by-code' } as const;
		const restored = new ChainWriter(copy, options, opened);
		await creator.write('remark', { to: null, asks: false, text: 'one way' });
		await restored.write('remark', { to: null, asks: false, text: 'another way' });
		for (const entry of copy.inOrder()) creator.set.add(entry);
		expect(creator.set.size).toBe(3);
		const [alarm] = creator.set.alarms();
		expect(alarm).toMatchObject({ code: 'chain-forked', chain: opened.chain, seq: 2 });
		expect(alarm?.hashes).toHaveLength(2);
		expect(creator.set.heads()).toHaveLength(2);
		expect(creator.set.isForked(opened.chain)).toBe(true);
	});

	it('[REC-20] takes in no entry of another record', async () => {
		const [one, other] = [await openTestRecord(1), await openTestRecord(2)];
		for (const entry of other.set.inOrder()) expect(one.set.add(entry)).toBe('foreign');
		expect(one.set.size).toBe(1);
	});
});

describe('prove(set, options)', () => {
	it('[REC-6] proves a chain by its last signature, and every entry by its own when asked', async () => {
		const { all } = await threeHands(20);
		expect((await prove(all)).proved.size).toBe(all.size);
		expect((await prove(all, { every: true })).proved.size).toBe(all.size);
	});

	it('[REC-6] a wrong signature under a later good one is found by `every` only; a wrong last one at once', async () => {
		const hand = await openTestRecord();
		for (const text of ['a', 'b', 'c']) await hand.write('remark', { to: null, asks: false, text });
		const forge = (seq: number) => {
			const entries = hand.set
				.inOrder()
				.map((entry) => (entry.seq === seq ? { ...entry, sig: 'A'.repeat(86) } : entry));
			return new EntrySet(hand.set.record, entries as Entry[]);
		};
		expect((await prove(forge(2))).unproved).toEqual([]);
		const hashOf = (seq: number) => hand.set.inOrder().find((entry) => entry.seq === seq)?.hash;
		expect((await prove(forge(2), { every: true })).unproved).toEqual([{ hash: hashOf(2), reason: 'signature-wrong' }]);
		expect((await prove(forge(4))).unproved).toEqual([{ hash: hashOf(4), reason: 'signature-wrong' }]);
		expect((await prove(forge(4))).proved.size).toBe(3);
	});

	it('[REC-6] does not let one key prove what another is said to have written', async () => {
		const creator = await openTestRecord();
		const stranger = newHand(creator.set, 9);
		const theirs = (await stranger.write('remark', { to: null, asks: false, text: 'theirs' })) as unknown as Entry;
		// The stranger signs an entry that claims to go on in the creator's chain in the creator's name.
		const { hash: _hash, sig: _sig, pen: _pen, ...content } = theirs;
		const last = creator.set.inOrder()[0] as Entry;
		const claimed = {
			...content,
			chain: last.chain,
			seq: 2,
			prev: last.hash,
			by: last.by,
			seen: [],
			n: 2,
		} as unknown as Entry;
		const hash = hashEntry(claimed);
		const forged = { ...claimed, hash, sig: await seededKey(9).sign(`stillmast entry v1\n${hash}`) };
		const set = new EntrySet(creator.set.record, [...creator.set.inOrder(), forged]);
		expect((await prove(set)).unproved).toEqual([{ hash, reason: 'signature-wrong' }]);
	});

	it('[REC-6] says so when no entry here names the key', async () => {
		const hand = await openTestRecord();
		const second = hand.reload(4);
		await second.write('remark', { to: null, asks: false, text: 'one' });
		await second.write('remark', { to: null, asks: false, text: 'two' });
		const stranger = newHand(hand.set, 6);
		await stranger.write('remark', { to: null, asks: false, text: 'first' });
		const later = (await stranger.write('remark', { to: null, asks: false, text: 'second' })) as unknown as Entry;
		const set = new EntrySet(hand.set.record, [...hand.set.inOrder(), later]);
		expect((await prove(set)).unproved).toEqual([{ hash: later.hash, reason: 'key-unknown' }]);
	});
});
