import type { Entry, Kind, KnownEntry } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { EntrySet, Folding, fold, type RecordState, toSign } from '../src/index.js';
import { enrolHand, type Hand, hover, newHand, openTestRecord, seededNumbers, shuffled } from './world/people.js';
import { sampleFields } from './world/samples.js';

/** A record in which everything happens: late enrolment, revocation, forks, strikes, agreements, signatures. */
async function eventful(seed: number): Promise<readonly Entry[]> {
	const next = seededNumbers(seed);
	const engineer = await openTestRecord(seed);
	const pilot = await enrolHand(engineer, 'pilot', seed + 1);
	const other = await enrolHand(engineer, 'engineer', seed + 2);
	const late = newHand(engineer.set, seed + 3);
	const hands = [engineer, pilot, other, late];
	const hearAll = () => {
		for (const hand of hands) for (const one of hands) hand.hear(one.set);
	};
	const pick = <T>(list: readonly T[]) => list[Math.floor(next() * list.length)] as T;
	const steps: ((hand: Hand, about: string) => Promise<unknown>)[] = [
		(hand) =>
			hand.write('vibration', {
				...hover,
				run: 1 + Math.floor(next() * 2),
				amplitudeIps: 0.3 + Math.floor(next() * 3) / 20,
				phaseDeg: 118,
			}),
		(hand) =>
			hand.write('reading', {
				flight: 1,
				run: null,
				subject: 'track/main/hover/A',
				value: Math.floor(next() * 3),
				unit: 'mm',
			}),
		(hand) =>
			hand.write('adjustment', {
				rotor: 'main',
				after: Math.floor(next() * 3),
				stage: pick(['found', 'planned', 'made', 'measured'] as const),
				settings: { 'plate-A': Math.floor(next() * 3) },
			}),
		(hand, about) => hand.write('strike', { target: about, reason: pick(['', 'misread']) }),
		(hand, about) => hand.write('agree', { chosen: about, over: [pick(hand.set.inOrder()).hash], reason: '' }),
		(hand) =>
			hand.write('step', {
				flight: 1 + Math.floor(next() * 2),
				step: 'hover',
				state: pick(['done', 'later'] as const),
			}),
		(hand, about) => hand.write('narrative', { subject: 'summary', text: `${next()}`, replaces: [about] }),
		(hand, about) =>
			hand.write('inspection', { adjustment: about, locked: true, toolsCounted: true, result: 'in-order' }),
		async (hand) => {
			const terms = toSign(hand.set, fold(hand.set));
			const person = { name: 'x', licence: '', role: pick(['pilot', 'engineer'] as const), statement: 'Read.' };
			if (terms.ok) await hand.write('signature', { ...terms.value, ...person });
		},
	];
	const everyKind = sampleFields(engineer.set.record, engineer.set.record);
	for (let turn = 0; turn < 45; turn++) {
		const hand = pick(hands);
		if (next() < 0.25) hearAll();
		await pick(steps)(hand, pick(hand.set.inOrder()).hash);
		if (turn === 20) await hand.write('witness', everyKind.witness);
		if (turn === 25)
			await engineer.write('enrolled', { publicKey: late.key.publicKey, role: 'pilot', name: 'late', invite: null });
		if (turn === 35) {
			const known = pilot.set.inOrder().filter(({ by }) => by === pilot.key.fingerprint);
			await engineer.write('revoked', {
				key: pilot.key.fingerprint,
				heads: known.slice(-1).map(({ hash }) => hash),
				reason: 'lost',
			});
		}
	}
	// The same pen taken up from an old copy: two entries in one place.
	const copy = newHand(new EntrySet(engineer.set.record, engineer.set.inOrder().slice(0, 4)), seed + 3);
	await copy.write('vibration', { ...hover, amplitudeIps: 0.9, phaseDeg: 1 });
	engineer.hear(copy.set);
	hearAll();
	return engineer.set.inOrder();
}

/** Plain values for comparing, the order of every list and map included. */
function plain(state: RecordState): unknown {
	return JSON.parse(
		JSON.stringify(state, (_, value: unknown) =>
			value instanceof Map ||
			(value !== null && typeof value === 'object' && 'forEach' in value && !Array.isArray(value))
				? [...(value as Map<string, unknown>)]
				: value,
		),
	);
}

/** `STILLMAST_LONG=1` plays many more. */
const LONG = process.env.STILLMAST_LONG === '1';
const seedsFrom = (first: number, few: number, many: number) =>
	Array.from({ length: LONG ? many : few }, (_, i) => first + i);

describe('Folding.state()', () => {
	it.each(seedsFrom(1, 8, 120))(
		'[REC-11] kept up entry by entry it is the same as folded anew: seed %i',
		async (seed) => {
			const entries = await eventful(seed * 100);
			const orders = [entries, ...[1, 2, 3].map((order) => shuffled(entries, seed * 10 + order))];
			const whole = plain(fold(new EntrySet(entries.find(({ kind }) => kind === 'opened')?.hash ?? '', entries)));
			for (const order of orders) {
				const set = new EntrySet(entries.find(({ kind }) => kind === 'opened')?.hash ?? '');
				const folding = new Folding(set);
				for (const entry of order) {
					set.add(entry);
					expect(plain(folding.state())).toEqual(plain(fold(set)));
				}
				expect(plain(folding.state())).toEqual(whole);
			}
		},
	);

	it.each(seedsFrom(1011, 3, 120))('[REC-11] and so it is when entries come in batches: seed %i', async (seed) => {
		const entries = await eventful(seed * 100);
		const next = seededNumbers(seed);
		const order = shuffled(entries, seed);
		const set = new EntrySet(entries.find(({ kind }) => kind === 'opened')?.hash ?? '');
		const folding = new Folding(set);
		for (let at = 0; at < order.length; ) {
			const batch = 1 + Math.floor(next() * 9);
			for (const entry of order.slice(at, at + batch)) set.add(entry);
			at += batch;
			expect(plain(folding.state())).toEqual(plain(fold(set)));
		}
	});

	it('[REC-11] every kind is put in and taken out again by a strike', async () => {
		const engineer = await openTestRecord();
		const other = await enrolHand(engineer, 'engineer', 2);
		const work = await engineer.write('adjustment', sampleFields(engineer.set.record).adjustment);
		other.hear(engineer.set);
		const before = plain(fold(other.set)) as Record<string, unknown>;
		const folding = new Folding(other.set);
		const fields = sampleFields(engineer.set.record, work.hash);
		const written: KnownEntry[] = [];
		for (const kind of Object.keys(fields) as Kind[]) {
			if (['opened', 'enrolled', 'revoked', 'signature', 'strike'].includes(kind)) continue;
			written.push((await other.write(kind, fields[kind])) as KnownEntry);
			expect(plain(folding.state())).toEqual(plain(fold(other.set)));
		}
		for (const { hash } of written) {
			await other.write('strike', { target: hash, reason: 'only a test' });
			expect(plain(folding.state())).toEqual(plain(fold(other.set)));
		}
		const after = plain(folding.state()) as Record<string, unknown>;
		for (const key of Object.keys(before))
			if (!['judged', 'of'].includes(key)) expect(after[key], key).toEqual(before[key]);
	});

	it('[REC-11] gives the same object while nothing has come, and the same parts while nothing has touched them', async () => {
		const engineer = await openTestRecord();
		await engineer.write('vibration', { ...hover, amplitudeIps: 0.3, phaseDeg: null });
		const folding = new Folding(engineer.set);
		const first = folding.state();
		expect(folding.state()).toBe(first);
		await engineer.write('remark', { to: null, asks: false, text: 'said' });
		const second = folding.state();
		expect(second).not.toBe(first);
		expect(second.vibrations).toBe(first.vibrations);
		expect(second.of.vibration).toBe(first.of.vibration);
		expect(first.of.remark).toHaveLength(0);
		expect(second.of.remark).toHaveLength(1);
	});
});
