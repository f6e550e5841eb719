import type { Entry, EntryOf, FieldsOf } from '@stillmast/formats/entry';
import { describe, expect, it } from 'vitest';
import { EntrySet, fold, hashJson, type Signing, toSign } from '../src/index.js';
import { crew, enrolHand, type Hand, hover, openTestRecord, shuffled, testBlobs } from './world/people.js';

const said = { to: null, asks: false, text: 'said' } as const;
const reading: FieldsOf<'vibration'> = { ...hover, amplitudeIps: 0.31, phaseDeg: 118 };

async function sign(
	hand: Hand,
	role: 'pilot' | 'engineer',
	lost?: NonNullable<FieldsOf<'signature'>['lost']>,
): Promise<EntryOf<'signature'>> {
	const terms = toSign(hand.set, fold(hand.set), lost);
	if (!terms.ok) throw new Error(JSON.stringify(terms.problem));
	return hand.write('signature', { ...terms.value, name: role, licence: 'L-1', role, statement: 'I have read it.' });
}

const signingOf = (set: EntrySet): Signing => fold(set).signing;

describe('toSign(set, state) and fold(set).signing', () => {
	it('[REC-72] the roles that are asked for, by different keys, over the same content', async () => {
		const { engineer, pilot, hear } = await crew();
		await engineer.write('vibration', reading);
		hear();
		expect(signingOf(engineer.set).state).toBe('unsigned');
		const first = await sign(pilot, 'pilot');
		hear();
		expect(signingOf(engineer.set)).toMatchObject({ state: 'in-part', contents: [{ roles: ['pilot'] }] });
		const second = await sign(engineer, 'engineer');
		expect(second.content).toBe(first.content);
		expect(signingOf(engineer.set)).toMatchObject({
			state: 'signed',
			contents: [{ number: 1, complete: true }],
			added: [],
		});
	});

	it('[REC-72] one key signing for two roles, or in a role that is not its own, completes nothing', async () => {
		const engineer = await openTestRecord();
		await sign(engineer, 'engineer');
		await sign(engineer, 'pilot');
		expect(signingOf(engineer.set)).toMatchObject({ state: 'in-part', contents: [{ roles: ['engineer'] }] });
	});

	it('[REC-70] content is SHA-256 of the RFC 8785 form of what docs/formats/entry.md lists', async () => {
		const { engineer } = await crew();
		const entry = await engineer.write('vibration', reading);
		const before = engineer.set.inOrder().map(({ hash }) => hash);
		const signed = await sign(engineer, 'engineer');
		const head = { chain: entry.chain, seq: entry.seq, hash: entry.hash };
		expect(signed).toMatchObject({ number: 1, previous: null, heads: [head] });
		const content = {
			v: 1,
			record: engineer.set.record,
			number: 1,
			previous: null,
			heads: [head],
			entries: hashJson([...before].sort()),
			blobs: [...testBlobs.keys()].sort(),
		};
		expect(signed.content).toBe(hashJson(content));
	});

	it.each<[string, (hand: Hand, other: EntryOf<'vibration'>) => Promise<unknown>, boolean]>([
		['a reading', (hand) => hand.write('vibration', { ...reading, run: 2 }), true],
		['a strike', (hand, { hash }) => hand.write('strike', { target: hash, reason: 'misread' }), true],
		['a narrative', (hand) => hand.write('narrative', { subject: 'summary', text: 'x', replaces: [] }), true],
		['a remark', (hand) => hand.write('remark', said), false],
		['a reply', (hand, { hash }) => hand.write('reply', { to: hash, answer: 'seen' }), false],
		['an enrolment', (hand) => enrolHand(hand, 'support', 31), false],
	])('[REC-71] %s after signing', async (_, write, amends) => {
		const { engineer, pilot, hear } = await crew();
		const other = await engineer.write('vibration', reading);
		hear();
		await sign(pilot, 'pilot');
		hear();
		await sign(engineer, 'engineer');
		await write(engineer, other);
		const signing = signingOf(engineer.set);
		expect(signing.state).toBe(amends ? 'added-after-signing' : 'signed');
		expect(signing.added).toHaveLength(amends ? 1 : 0);
		expect(signing.contents[0]?.signatures.map(({ cover }) => cover)).toEqual(['holds', 'holds']);
	});

	it('[REC-71] a late entry of a device that was away is added after signing; signing again covers it', async () => {
		const { engineer, pilot, hear } = await crew();
		hear();
		const late = await pilot.write('vibration', reading);
		await sign(engineer, 'engineer');
		const away = new EntrySet(pilot.set.record, pilot.set.inOrder());
		engineer.hear(away);
		expect(signingOf(engineer.set)).toMatchObject({ contents: [{ roles: ['engineer'], added: [late.hash] }] });
		const again = await sign(engineer, 'engineer');
		expect(again).toMatchObject({ number: 2, previous: signingOf(engineer.set).contents[0]?.content });
		pilot.hear(engineer.set);
		await sign(pilot, 'pilot');
		expect(signingOf(pilot.set)).toMatchObject({ state: 'signed', added: [] });
		expect(signingOf(pilot.set).contents).toHaveLength(2);
	});

	it('[REC-71] entries of a key not enrolled amend only once they count', async () => {
		const { engineer, pilot, hear } = await crew();
		hear();
		await sign(pilot, 'pilot');
		hear();
		await sign(engineer, 'engineer');
		const stranger = await enrolHand(await openTestRecord(1), 'pilot', 40);
		expect(stranger.set.record).toBe(engineer.set.record);
		await stranger.write('vibration', reading);
		engineer.hear(
			new EntrySet(
				engineer.set.record,
				stranger.set.inOrder().filter(({ by }) => by === stranger.key.fingerprint),
			),
		);
		expect(signingOf(engineer.set).state).toBe('signed');
		await engineer.write('enrolled', {
			publicKey: stranger.key.publicKey,
			role: 'pilot',
			name: 'second pilot',
			invite: null,
		});
		expect(signingOf(engineer.set)).toMatchObject({ state: 'added-after-signing' });
	});

	it('[REC-73] missing entries block signing, until the device is named as lost', async () => {
		const { engineer, pilot, hear } = await crew();
		const kept = await pilot.write('remark', said);
		engineer.hear(pilot.set);
		const gone = await pilot.write('vibration', reading);
		const last = await pilot.write('remark', said);
		// The engineer heard the last entry but not the one before it.
		engineer.set.add(last as unknown as Entry);
		expect(toSign(engineer.set, fold(engineer.set))).toMatchObject({
			ok: false,
			problem: { code: 'waiting-for-entries', found: [{ by: pilot.key.fingerprint, count: 1 }] },
		});
		const lost = [{ key: pilot.key.fingerprint, last: kept.hash, reason: 'tablet fell overboard' }];
		const signed = await sign(engineer, 'engineer', lost);
		expect(signed.lost).toEqual(lost);
		expect(signingOf(engineer.set).contents[0]).toMatchObject({ roles: ['engineer'], added: [], lost });
		// The other signs the same content, lost device and all, without being asked again.
		const second = toSign(engineer.set, fold(engineer.set));
		expect(second).toMatchObject({ ok: true, value: { content: signed.content, lost } });
		// It turns up after all: the old signature still holds over its own set, and what came is told.
		engineer.set.add(gone as unknown as Entry);
		const content = signingOf(engineer.set).contents[0];
		expect(content?.signatures[0]?.cover).toBe('holds');
		expect(content?.added).toEqual([gone.hash]);
		expect(content?.lost).toEqual(lost);
		hear();
	});

	it('[REC-73] one lost device excuses no other that lacks entries', async () => {
		const { engineer, pilot } = await crew();
		await pilot.write('remark', said);
		await pilot.write('vibration', reading);
		engineer.set.add((await pilot.write('remark', said)) as unknown as Entry);
		const other = [{ key: engineer.key.fingerprint, last: null, reason: 'another tablet' }];
		expect(toSign(engineer.set, fold(engineer.set), other)).toMatchObject({
			problem: { code: 'waiting-for-entries' },
		});
		const both = [...other, { key: pilot.key.fingerprint, last: null, reason: 'overboard' }];
		expect(toSign(engineer.set, fold(engineer.set), both).ok).toBe(true);
	});

	it('[REC-70] a signature over content that the entries do not have is told, and signs nothing', async () => {
		const { engineer } = await crew();
		await engineer.write('vibration', reading);
		const terms = toSign(engineer.set, fold(engineer.set));
		if (!terms.ok) throw new Error('cannot sign');
		const person = { name: 'e', licence: '', role: 'engineer', statement: 'I have read it.' } as const;
		await engineer.write('signature', { ...terms.value, ...person, content: hashJson('another') });
		const fewer = { ...terms.value, heads: [{ chain: 'A'.repeat(11), seq: 1, hash: hashJson('not here') }] };
		await engineer.write('signature', { ...fewer, ...person });
		const covers = signingOf(engineer.set).contents.flatMap(({ signatures }) => signatures.map(({ cover }) => cover));
		expect(covers.sort()).toEqual(['content-differs', 'heads-missing']);
		expect(signingOf(engineer.set).state).toBe('unsigned');
	});

	it('[REC-71] a withdrawn signature signs no longer', async () => {
		const { engineer, pilot, hear } = await crew();
		hear();
		await sign(pilot, 'pilot');
		hear();
		const own = await sign(engineer, 'engineer');
		await engineer.write('strike', { target: own.hash, reason: 'signed too early' });
		expect(signingOf(engineer.set)).toMatchObject({ state: 'in-part' });
	});

	it('[REC-11] signing is told the same in 60 orders of arrival', async () => {
		const { engineer, pilot, hear } = await crew();
		await engineer.write('vibration', reading);
		hear();
		await sign(pilot, 'pilot');
		await engineer.write('vibration', { ...reading, run: 2 });
		hear();
		await sign(engineer, 'engineer');
		const expected = signingOf(engineer.set);
		for (let seed = 0; seed < 60; seed++) {
			const set = new EntrySet(engineer.set.record, shuffled(engineer.set.inOrder(), seed));
			expect(signingOf(set)).toEqual(expected);
		}
	});
});
