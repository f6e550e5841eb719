import type { Entry, FieldsOf } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { EntrySet, fold, hashEntry } from '../src/index.js';
import { crew, type Hand, hover, newHand, openTestRecord, seededKey, seededNumbers, shuffled } from './world/people.js';
import { sampleFields } from './world/samples.js';

const vibration = (amplitudeIps: number, phaseDeg: number | null = 118): FieldsOf<'vibration'> => ({
	...hover,
	amplitudeIps,
	phaseDeg,
});

describe('fold(set): chains and kinds', () => {
	it('[REC-10] an entry after a gap waits, and counts when the gap is filled', async () => {
		const { engineer } = await crew();
		const written = [];
		for (const text of ['a', 'b', 'c']) written.push(await engineer.write('remark', { to: null, asks: false, text }));
		const [, gap, last] = written.map(({ hash }) => hash);
		const set = new EntrySet(
			engineer.set.record,
			engineer.set.inOrder().filter(({ hash }) => hash !== gap),
		);
		const state = fold(set);
		expect(state.judged.get(last ?? '')?.judgement).toEqual({ state: 'waits', for: 'chain' });
		expect(state.waiting).toEqual([{ by: engineer.key.fingerprint, count: 1, named: [gap] }]);
		set.add(engineer.set.get(gap ?? '') as Entry);
		expect(fold(set).waiting).toEqual([]);
		expect(fold(set).of.remark).toHaveLength(3);
	});

	it('[REC-12] tells how many entries of whom are missing, also those known by hash only', async () => {
		const { engineer, pilot, hear } = await crew();
		for (const text of ['1', '2', '3', '4']) await engineer.write('remark', { to: null, asks: false, text });
		hear();
		const answer = await pilot.write('remark', { to: null, asks: false, text: 'read you' });
		const early = engineer.set.inOrder().filter(({ seq, by }) => by !== engineer.key.fingerprint || seq <= 2);
		const withoutFour = new EntrySet(engineer.set.record, [...early, answer as unknown as Entry]);
		expect(fold(withoutFour).waiting).toEqual([{ by: null, count: 1, named: answer.seen }]);
		const latest = engineer.set.inOrder().filter(({ seq, by }) => by === engineer.key.fingerprint && seq === 6);
		const withGap = new EntrySet(engineer.set.record, [...early, ...latest]);
		expect(fold(withGap).waiting).toMatchObject([{ by: engineer.key.fingerprint, count: 3 }]);
	});

	it('[REC-3] a kind of a newer version and wrong fields are kept, set apart, and never counted', async () => {
		const engineer = await openTestRecord();
		const last = engineer.set.inOrder()[0] as Entry;
		const make = async (kind: string, fields: object) => {
			const { hash: _hash, sig: _sig, pen: _pen, ...content } = last;
			const entry = {
				...content,
				...fields,
				record: last.hash,
				seq: 2,
				n: 2,
				prev: last.hash,
				kind,
			} as unknown as Entry;
			const hash = hashEntry(entry);
			return { ...entry, hash, sig: await seededKey(1).sign(`stillmast entry v1\n${hash}`) };
		};
		const newer = await make('hologram', { depth: 3 });
		const wrong = await make('remark', { nonsense: true });
		const state = fold(new EntrySet(engineer.set.record, [last, newer, wrong]));
		expect(state.judged.get(newer.hash)?.judgement).toEqual({ state: 'apart', reason: 'newer-kind' });
		expect(state.judged.get(wrong.hash)?.judgement).toMatchObject({ state: 'apart', reason: 'wrong-fields' });
		expect(state.judged.size).toBe(3);
	});

	it('[REC-10] an entry that does not continue its chain, or has the wrong n, is set apart', async () => {
		const engineer = await openTestRecord();
		const second = (await engineer.write('remark', { to: null, asks: false, text: 'two' })) as unknown as Entry;
		const make = async (change: Partial<Entry>, seed = 1) => {
			const { hash: _hash, sig: _sig, ...content } = second;
			const entry = { ...content, seq: 3, n: 3, prev: second.hash, ...change } as unknown as Entry;
			const hash = hashEntry(entry);
			return { ...entry, hash, sig: await seededKey(seed).sign(`stillmast entry v1\n${hash}`) };
		};
		const cases: [string, Entry][] = [
			['wrong-chain', await make({ seq: 4 })],
			['wrong-chain', await make({ chain: `${'B'.repeat(10)}A` })],
			['wrong-chain', await make({ by: seededKey(2).fingerprint }, 2)],
			['wrong-order', await make({ n: 7 })],
		];
		for (const [reason, entry] of cases) {
			const set = new EntrySet(engineer.set.record, [...engineer.set.inOrder(), entry]);
			expect(fold(set).judged.get(entry.hash)?.judgement).toEqual({ state: 'apart', reason });
		}
	});

	it('[REC-6] what cannot be proved is set apart', async () => {
		const { engineer } = await crew();
		const entry = await engineer.write('vibration', vibration(0.31));
		const state = fold(engineer.set, { unproved: new Set([entry.hash]) });
		expect(state.judged.get(entry.hash)?.judgement).toEqual({ state: 'apart', reason: 'unproved' });
		expect(state.vibrations).toEqual([]);
	});
});

describe('fold(set): arrival', () => {
	it('[REC-11] 120 orders of arrival of a record with everything in it give one state', async () => {
		const { engineer, pilot, hear } = await crew();
		const stranger = newHand(engineer.set, 50);
		const next = seededNumbers(11);
		const samples = sampleFields(engineer.set.record);
		for (let turn = 0; turn < 40; turn++) {
			const hand = [engineer, pilot, stranger][turn % 3] as Hand;
			if (next() < 0.3) hear();
			const written = hand.set.inOrder();
			const about = written[Math.floor(next() * written.length)]?.hash ?? engineer.set.record;
			const choice = turn % 8;
			if (choice < 3) await hand.write('vibration', vibration(0.3 + (turn % 5) / 50));
			else if (choice === 3)
				await hand.write('adjustment', { ...samples.adjustment, after: turn % 3, settings: { 'plate-A': turn % 4 } });
			else if (choice === 4) await hand.write('strike', { target: about, reason: 'try' });
			else if (choice === 5) await hand.write('step', { flight: 1, step: 'hover', state: turn % 2 ? 'done' : 'later' });
			else if (choice === 6) await hand.write('agree', { chosen: about, over: [engineer.set.record], reason: 'try' });
			else await hand.write('narrative', { subject: 'summary', text: `${turn}`, replaces: [about] });
		}
		hear();
		engineer.hear(stranger.set);
		const all = engineer.set.inOrder();
		const expected = fold(engineer.set);
		expect(expected.judged.size).toBe(all.length);
		for (let seed = 0; seed < 120; seed++) {
			expect(fold(new EntrySet(engineer.set.record, shuffled(all, seed)))).toEqual(expected);
		}
	});
});
