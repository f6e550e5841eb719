import {
	type EntryOf,
	type FieldsOf,
	type Kind,
	kinds,
	type Purpose,
	purposes,
	type Role,
	roles,
} from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { mayWriteNow } from '../src/fold/index.js';
import { EntrySet, fold } from '../src/index.js';
import { mayWrite, roleTable, writes } from '../src/wire/index.js';
import { enrolHand, type Hand, openTestRecord } from './world/people.js';
import { sampleFields } from './world/samples.js';

const creators: readonly Role[] = ['pilot', 'engineer', 'instructor'];

/** A record of this purpose with one enrolled hand of each role, and a reading by each of two engineers to talk about. */
async function stage(purpose: Purpose): Promise<{ all: EntrySet; hands: Map<Role, Hand>; other: EntryOf<'reading'> }> {
	const creator = await openTestRecord(1, 'engineer', purpose);
	const hands = new Map<Role, Hand>();
	for (const [i, role] of roles.entries()) hands.set(role, await enrolHand(creator, role, 10 + i));
	const other = await creator.write('reading', sampleFields(creator.set.record).reading);
	for (const hand of hands.values()) hand.hear(creator.set);
	return { all: creator.set, hands, other };
}

async function counts<K extends Kind>(all: EntrySet, hand: Hand, kind: K, fields: FieldsOf<K>): Promise<boolean> {
	const entry = await hand.write(kind, fields);
	const set = new EntrySet(all.record, [...all.inOrder(), ...hand.set.inOrder()]);
	return fold(set).judged.get(entry.hash)?.judgement.state === 'counts';
}

describe('fold(set): role × kind, generated from the table', () => {
	for (const purpose of purposes) {
		for (const role of roles) {
			it(`[REC-40] ${role} in a record of purpose ${purpose}: every kind counts exactly where the table says`, async () => {
				const { all, hands, other } = await stage(purpose);
				const hand = hands.get(role) as Hand;
				for (const kind of kinds) {
					// The first entry cannot be written again: its cells are tested below.
					if (kind === 'opened') continue;
					const rule = roleTable[kind][role];
					// Strikes and inspections of another's entry, with a reason; own ones are tested below.
					const expected = { yes: true, no: false, creator: false, 'as-proposal': false, 'not-own-work': true }[
						rule as string
					];
					const conditional = {
						rehearsal: purpose === 'rehearsal',
						own: false,
						'own-or-reasoned': true,
						reasoned: true,
					};
					const wanted = expected ?? conditional[rule as keyof typeof conditional];
					const fields = sampleFields(all.record, other.hash)[kind];
					expect(await counts(all, hand, kind, fields), `${role} ${kind} (${rule})`).toBe(wanted);
				}
			});
		}
	}

	for (const role of roles) {
		for (const purpose of purposes) {
			const rule = roleTable.opened[role];
			const allowed = rule === 'yes' || (rule === 'rehearsal' && purpose === 'rehearsal');
			it(`[REC-41] a record of purpose ${purpose} opened by ${role} ${allowed ? 'counts' : 'does not count'}`, async () => {
				const creator = await openTestRecord(1, role, purpose);
				expect(fold(creator.set).judged.get(creator.set.record)?.judgement.state === 'counts').toBe(allowed);
			});
		}
	}

	for (const role of creators) {
		it(`[REC-40] ${role} as creator enrols and revokes`, async () => {
			const creator = await openTestRecord(1, role, 'rehearsal');
			const { enrolled, revoked } = sampleFields(creator.set.record);
			expect(await counts(creator.set, creator, 'enrolled', enrolled)).toBe(true);
			expect(await counts(creator.set, creator, 'revoked', revoked)).toBe(true);
		});
	}

	it('[REC-42] an inspection of work by the same pen does not count, by another pen it does', async () => {
		const engineer = await openTestRecord();
		const other = await enrolHand(engineer, 'engineer', 2);
		const work = await engineer.write('adjustment', sampleFields(engineer.set.record).adjustment);
		other.hear(engineer.set);
		const inspection = { adjustment: work.hash, locked: true, toolsCounted: true, result: 'in-order' } as const;
		expect(await counts(engineer.set, engineer, 'inspection', inspection)).toBe(false);
		expect(await counts(engineer.set, other, 'inspection', inspection)).toBe(true);
	});

	it('[REC-40] tells who writes at all: everybody but the reviewer', () => {
		expect(roles.filter((role) => !writes(role))).toEqual(['reviewer']);
	});

	for (const purpose of purposes) {
		it(`[REC-44] mayWriteNow(state, key, kind) in a record of purpose ${purpose} says yes exactly where an entry can count`, async () => {
			const { all, hands, other } = await stage(purpose);
			for (const role of roles) {
				const hand = hands.get(role) as Hand;
				const own = await hand.write('remark', sampleFields(all.record).remark);
				const state = fold(new EntrySet(all.record, [...all.inOrder(), ...hand.set.inOrder()]));
				for (const kind of kinds) {
					if (kind === 'opened') continue;
					// Of somebody else's entry or of one's own: whichever may stand.
					const of = [other.hash, own.hash].map((target) => sampleFields(all.record, target)[kind]);
					const tries = kind === 'strike' ? of : of.slice(0, 1);
					const counted = [];
					for (const fields of tries) counted.push(await counts(all, hand, kind, fields));
					expect(mayWriteNow(state, hand.key.fingerprint, kind), `${role} ${kind}`).toBe(counted.includes(true));
				}
			}
		});
	}

	it('[REC-44] nothing may be written by a key that is not enrolled, or is revoked', async () => {
		const creator = await openTestRecord();
		const pilot = await enrolHand(creator, 'pilot', 2);
		const before = fold(creator.set);
		expect(mayWriteNow(before, pilot.key.fingerprint, 'reading')).toBe(true);
		await creator.write('revoked', { key: pilot.key.fingerprint, heads: [], reason: 'tablet lost' });
		const after = fold(creator.set);
		for (const kind of kinds) {
			expect(mayWriteNow(after, pilot.key.fingerprint, kind), kind).toBe(false);
			expect(mayWriteNow(after, 'A'.repeat(43), kind), kind).toBe(false);
		}
	});

	it('[REC-40] mayWrite(role, kind, facts) says no for the reviewer whatever the facts', () => {
		const facts = { purpose: 'rehearsal', creator: true, own: true, reasoned: true } as const;
		for (const kind of kinds) expect(mayWrite('reviewer', kind, facts), kind).toBe(false);
	});
});

describe('fold(set): strikes', () => {
	const rows: readonly [Role, 'own' | "another's", string, boolean][] = [
		['pilot', 'own', '', true],
		['pilot', "another's", '', false],
		['pilot', "another's", 'misread', true],
		['engineer', 'own', '', false],
		['engineer', 'own', 'misread', true],
		['engineer', "another's", '  ', false],
		['engineer', "another's", 'misread', true],
		['support', 'own', '', true],
		['support', "another's", 'misread', false],
	];
	it.each(rows)('[REC-43] %s strikes %s entry with reason %j: counts %s', async (role, whose, reason, counted) => {
		const creator = await openTestRecord();
		const hand = await enrolHand(creator, role, 2);
		const writer = whose === 'own' ? hand : creator;
		const target = await writer.write('remark', { to: null, asks: false, text: 'to be struck' });
		hand.hear(creator.set);
		const strike = await hand.write('strike', { target: target.hash, reason });
		const state = fold(new EntrySet(creator.set.record, [...creator.set.inOrder(), ...hand.set.inOrder()]));
		expect(state.judged.get(strike.hash)?.judgement.state).toBe(counted ? 'counts' : 'apart');
		const struck = { state: 'struck', strike: strike.hash };
		expect(state.judged.get(target.hash)?.judgement).toEqual(counted ? struck : { state: 'counts' });
		expect(state.of.remark).toHaveLength(counted ? 0 : 1);
	});

	it('[REC-43] a strike that is itself struck strikes nothing', async () => {
		const hand = await openTestRecord();
		const target = await hand.write('remark', { to: null, asks: false, text: 'stays' });
		const strike = await hand.write('strike', { target: target.hash, reason: 'by mistake' });
		const back = await hand.write('strike', { target: strike.hash, reason: 'not that one' });
		const { judged } = fold(hand.set);
		expect(judged.get(target.hash)?.judgement).toEqual({ state: 'counts' });
		expect(judged.get(strike.hash)?.judgement).toEqual({ state: 'struck', strike: back.hash });
	});

	it('[REC-43] what trust rests on cannot be struck, nor another person’s signature', async () => {
		const creator = await openTestRecord();
		const pilot = await enrolHand(creator, 'pilot', 2);
		const signed = await pilot.write('signature', sampleFields(creator.set.record).signature);
		creator.hear(pilot.set);
		const targets = creator.set.inOrder().filter(({ kind }) => ['opened', 'enrolled', 'signature'].includes(kind));
		expect(targets).toHaveLength(3);
		for (const { hash } of targets) await creator.write('strike', { target: hash, reason: 'try' });
		const own = await pilot.write('strike', { target: signed.hash, reason: 'signed too early' });
		creator.hear(pilot.set);
		const { judged, of } = fold(creator.set);
		expect(of.strike.map(({ hash }) => hash)).toEqual([own.hash]);
		expect(judged.get(signed.hash)?.judgement).toEqual({ state: 'struck', strike: own.hash });
	});

	it('[REC-43] a strike whose target is not here waits', async () => {
		const creator = await openTestRecord();
		const pilot = await enrolHand(creator, 'pilot', 2);
		const target = await pilot.write('remark', { to: null, asks: false, text: 'not here' });
		creator.hear(pilot.set);
		const strike = await creator.write('strike', { target: target.hash, reason: 'misread' });
		const without = new EntrySet(
			creator.set.record,
			creator.set.inOrder().filter(({ hash }) => hash !== target.hash),
		);
		expect(fold(without).judged.get(strike.hash)?.judgement).toEqual({ state: 'waits', for: 'reference' });
		expect(fold(creator.set).judged.get(strike.hash)?.judgement).toEqual({ state: 'counts' });
	});
});
