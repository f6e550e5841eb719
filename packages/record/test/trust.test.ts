import type { Entry } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { EntrySet, fold, type Judgement } from '../src/index.js';
import { enrolHand, type Hand, hover, newHand, openTestRecord, seededKey, shuffled } from './world/people.js';

function judgementOf(set: EntrySet, hash: string): Judgement | undefined {
	return fold(set).judged.get(hash)?.judgement;
}

/** Everything that these replicas hold, in one. */
function union(...hands: readonly Hand[]): EntrySet {
	const [first] = hands;
	const all = new EntrySet(first?.set.record ?? '');
	for (const { set } of hands) for (const entry of set.inOrder()) all.add(entry);
	return all;
}

const said = { to: null, asks: false, text: 'said' } as const;
const reading = { ...hover, amplitudeIps: 0.31, phaseDeg: 118 } as const;

describe('fold(set): trust', () => {
	it('[REC-30] the creator counts at once, with no host', async () => {
		const creator = await openTestRecord(1, 'pilot');
		const entry = await creator.write('vibration', reading);
		const state = fold(creator.set);
		expect(state.judged.get(entry.hash)?.judgement).toEqual({ state: 'counts' });
		expect(state.people.get(creator.key.fingerprint)).toMatchObject({ role: 'pilot', creator: true, revokedBy: [] });
	});

	it('[REC-31] an entry of a key not enrolled is kept and never counted; it counts once enrolment arrives', async () => {
		const creator = await openTestRecord();
		const stranger = newHand(creator.set, 2);
		const entry = await stranger.write('vibration', reading);
		let all = union(creator, stranger);
		expect(judgementOf(all, entry.hash)).toEqual({ state: 'waits', for: 'enrolment' });
		expect(fold(all).vibrations).toEqual([]);
		await creator.write('enrolled', { publicKey: seededKey(2).publicKey, role: 'pilot', name: 'pilot', invite: null });
		all = union(creator, stranger);
		expect(judgementOf(all, entry.hash)).toEqual({ state: 'counts' });
		expect(fold(all).vibrations).toHaveLength(1);
	});

	it('[REC-30] nobody enrols but the creator and hosts', async () => {
		const creator = await openTestRecord();
		const pilot = await enrolHand(creator, 'pilot', 2);
		const enrolment = { role: 'engineer', name: 'friend', invite: null } as const;
		const entry = await pilot.write('enrolled', { ...enrolment, publicKey: seededKey(3).publicKey });
		const friend = newHand(pilot.set, 3);
		const theirs = await friend.write('remark', said);
		const all = union(creator, pilot, friend);
		expect(judgementOf(all, entry.hash)).toEqual({ state: 'apart', reason: 'role' });
		expect(judgementOf(all, theirs.hash)).toEqual({ state: 'waits', for: 'enrolment' });
	});

	it('[REC-30] a host that the creator enrolled enrols others', async () => {
		const creator = await openTestRecord();
		const host = await enrolHand(creator, 'host', 2);
		const support = await enrolHand(host, 'support', 3);
		const entry = await support.write('remark', said);
		const state = fold(union(creator, host, support));
		expect(state.judged.get(entry.hash)?.judgement).toEqual({ state: 'counts' });
		expect([...state.people.values()].map(({ role }) => role)).toEqual(['engineer', 'host', 'support']);
	});

	it('[REC-30] a key keeps the role it was given first', async () => {
		const creator = await openTestRecord();
		await enrolHand(creator, 'support', 2);
		const { publicKey } = seededKey(2);
		const second = await creator.write('enrolled', { publicKey, role: 'engineer', name: 'again', invite: null });
		expect(judgementOf(creator.set, second.hash)).toEqual({ state: 'apart', reason: 'enrolled-before' });
		expect(fold(creator.set).people.get(seededKey(2).fingerprint)?.role).toBe('support');
	});

	it('[REC-32] after a key is revoked, what it had written still counts and what comes later is set apart', async () => {
		const creator = await openTestRecord();
		const pilot = await enrolHand(creator, 'pilot', 2);
		const before = await pilot.write('vibration', reading);
		creator.hear(pilot.set);
		await creator.write('revoked', { key: pilot.key.fingerprint, heads: [before.hash], reason: 'tablet lost' });
		const unaware = await pilot.write('remark', said);
		const all = union(creator, pilot);
		expect(judgementOf(all, before.hash)).toEqual({ state: 'counts' });
		expect(judgementOf(all, unaware.hash)).toEqual({ state: 'apart', reason: 'revoked' });
		expect(fold(all).people.get(pilot.key.fingerprint)?.revokedBy).toHaveLength(1);
	});

	it('[REC-33] a further revocation that names later heads adopts what was set apart', async () => {
		const creator = await openTestRecord();
		const pilot = await enrolHand(creator, 'pilot', 2);
		const before = await pilot.write('remark', said);
		const heads = [before.hash];
		await creator.write('revoked', { key: pilot.key.fingerprint, heads, reason: 'tablet lost' });
		const later = await pilot.write('vibration', reading);
		const latest = await pilot.write('remark', said);
		creator.hear(pilot.set);
		await creator.write('revoked', { key: pilot.key.fingerprint, heads: [later.hash], reason: 'found again' });
		const all = union(creator, pilot);
		expect(judgementOf(all, later.hash)).toEqual({ state: 'counts' });
		expect(judgementOf(all, latest.hash)).toEqual({ state: 'apart', reason: 'revoked' });
	});

	it("[REC-34] where the creator's lost device and the host revoke each other, the host's word holds", async () => {
		const creator = await openTestRecord();
		const host = await enrolHand(creator, 'host', 2);
		const engineer = await enrolHand(creator, 'engineer', 3);
		const known = creator.set.heads().map(({ hash }) => hash);
		host.hear(creator.set);
		await host.write('revoked', { key: creator.key.fingerprint, heads: known, reason: 'stolen' });
		// The thief, who has not heard of it, turns on the host and everybody else.
		for (const { key } of [host, engineer]) {
			await creator.write('revoked', { key: key.fingerprint, heads: [], reason: 'mine' });
		}
		const work = await engineer.write('vibration', reading);
		const support = await enrolHand(host, 'support', 4);
		const entry = await support.write('remark', said);
		const state = fold(union(creator, host, engineer, support));
		for (const { hash } of [work, entry]) expect(state.judged.get(hash)?.judgement).toEqual({ state: 'counts' });
	});

	it('[REC-11] judges trust the same in 60 orders of arrival', async () => {
		const creator = await openTestRecord();
		const host = await enrolHand(creator, 'host', 2);
		const pilot = await enrolHand(host, 'pilot', 3);
		const first = await pilot.write('vibration', reading);
		host.hear(pilot.set);
		await host.write('revoked', { key: pilot.key.fingerprint, heads: [first.hash], reason: 'lost' });
		await pilot.write('vibration', { ...reading, amplitudeIps: 0.5 });
		const all = union(creator, host, pilot);
		const judged = (set: EntrySet) => [...fold(set).judged].map(([hash, { judgement }]) => [hash, judgement]);
		const expected = judged(all);
		for (let seed = 0; seed < 60; seed++) {
			expect(judged(new EntrySet(all.record, shuffled<Entry>(all.inOrder(), seed)))).toEqual(expected);
		}
	});
});
