import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { describe, expect, it, vi } from 'vitest';
import { joinRecord, keepInvite, openCheck, openSession, pendingInvites } from '../src/client/index.js';
import { indexedDbStore } from '../src/client/indexeddb/index.js';
import { memoryDisk, memoryStore } from '../src/client/memory/index.js';
import type { HttpAnswer } from '../src/client/ports.js';
import { exportSession, keepFile, takeFile } from '../src/client/session/index.js';
import { verifyRecordFile } from '../src/file/index.js';
import { hashBytes } from '../src/index.js';
import { joinWords } from '../src/words/index.js';
import { seededRandom, virtualClock } from './client-world/clock.js';
import { OPENED, penKey } from './client-world/crew.js';
import { testDevice } from './client-world/device.js';
import { TestHost } from './client-world/host.js';

const CARD = new TextEncoder().encode('{"invented":"card"}');
const TYPE = new TextEncoder().encode('{"invented":"type"}');

async function tablet(seed: number, host: TestHost, clock = host.clock) {
	const disk = memoryDisk();
	const network = host.network();
	const key = await penKey(seed);
	const ports = {
		clock,
		random: seededRandom(seed),
		device: testDevice(),
		store: memoryStore(disk),
		network,
		build: 'test',
	};
	return { disk, ports, network, hand: { key, unlocked: 'by-code' as const } };
}

async function check(seed: number) {
	const clock = virtualClock();
	const host = new TestHost(clock, 'none yet');
	const device = await tablet(seed, host);
	const fields = { ...OPENED, card: hashBytes(CARD), typeData: hashBytes(TYPE) };
	const opened = await openCheck({ ...device.ports, network: null }, device.hand, { fields, blobs: [CARD, TYPE] });
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	return { ...device, clock, host, session: opened.value };
}

describe('openCheck(ports, hand, check)', () => {
	it('[DEV-19] a check begun without a host is on this device, counts at once and exports a whole record file', async () => {
		const { session, disk } = await check(1);
		await session.settled();
		expect(session.state.purpose).toBe('demo');
		expect([...session.state.people.values()]).toMatchObject([{ role: 'engineer', creator: true }]);
		const written = await session.write('remark', { to: null, asks: false, text: 'no host anywhere' });
		expect(written.ok && session.state.judged.get(written.value.hash)?.judgement).toEqual({ state: 'counts' });
		await session.settled();
		expect(disk.entries.size).toBe(2);
		expect(disk.shelves.records.get(session.record)).toMatchObject({ role: 'engineer', hostName: null });
		const { text, missingBlobs } = await exportSession(session);
		expect(missingBlobs).toEqual([]);
		expect((await verifyRecordFile(text)).faults).toEqual([]);
		session.close();
	});

	it('[DEV-1] in a browser’s database: begun, written, and all there when another page opens it', async () => {
		const clock = virtualClock();
		const device = await tablet(20, new TestHost(clock, 'none'));
		const factory = new IDBFactory();
		const page = () => ({ ...device.ports, network: null, store: indexedDbStore(factory) });
		const fields = { ...OPENED, card: hashBytes(CARD), typeData: hashBytes(TYPE) };
		const opened = await openCheck(page(), device.hand, { fields, blobs: [CARD, TYPE] });
		if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
		const first = opened.value;
		for (let n = 0; n < 3; n++) await first.write('remark', { to: null, asks: false, text: `größer ≤ ${n}` });
		await first.settled();
		const before = await exportSession(first);
		first.close();
		const second = await openSession(page(), first.record, device.hand);
		expect(second.entries.size).toBe(4);
		expect(second.status.problems).toEqual([]);
		expect((await exportSession(second)).text).toBe(before.text);
		const rows = await page().store.all('records');
		expect(rows.ok && rows.value.map((row) => row.key)).toEqual([first.record]);
		second.close();
	});

	it('[DEV-5] site data cleared while a page is open: it is said at once, and what the page has is kept anew', async () => {
		const clock = virtualClock();
		const device = await tablet(21, new TestHost(clock, 'none'));
		const factory = new IDBFactory();
		const ports = { ...device.ports, network: null, store: indexedDbStore(factory) };
		const opened = await openCheck(ports, device.hand, { fields: OPENED, blobs: [] });
		if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
		const session = opened.value;
		const written = await session.write('remark', { to: null, asks: false, text: 'still on the screen' });
		await session.settled();
		await new Promise((resolve) => {
			factory.deleteDatabase('stillmast').onsuccess = resolve;
		});
		await vi.waitFor(() => expect(session.status.problems).toEqual([{ code: 'store-emptied' }]));
		await session.settled();
		const kept = await indexedDbStore(factory).loadEntries(session.record);
		expect(kept.ok && kept.value.entries).toHaveLength(2);
		expect(written.ok && session.placeOf(written.value.hash)?.device).toBe('on-this-device');
		await vi.waitFor(async () =>
			expect(await ports.store.all('records')).toMatchObject({ value: [{ role: 'engineer' }] }),
		);
		session.close();
	});

	it('openCheck refuses fields that are no opened entry, and then nothing is kept', async () => {
		const clock = virtualClock();
		const { disk, ports, hand } = await tablet(2, new TestHost(clock, 'none'));
		const opened = await openCheck({ ...ports, network: null }, hand, { fields: { ...OPENED, name: '' }, blobs: [] });
		expect(opened).toMatchObject({ ok: false, problem: { code: 'wrong-fields', path: '$.name' } });
		expect(disk.entries.size + disk.shelves.records.size).toBe(0);
	});
});

describe('keepFile(store, file) and takeFile(session, file)', () => {
	it('[DEV-17] a carried file adds what is new, says from whom, and the same file again adds nothing', async () => {
		const { session, clock, host } = await check(3);
		await session.write('remark', { to: null, asks: false, text: 'to be carried' });
		const { text } = await exportSession(session);
		const other = await tablet(4, host, clock);
		const carried = await keepFile(other.ports, text);
		expect(carried).toMatchObject({ ok: true, value: { record: session.record, added: 2, unproved: 0 } });
		expect(carried.ok && [...carried.value.from.values()]).toEqual([2]);
		expect(await keepFile(other.ports, text)).toMatchObject({ ok: true, value: { added: 0 } });
		expect(other.disk.blobs.size).toBe(2);
		expect(other.disk.shelves.records.get(session.record)).toMatchObject({ penKey: '', role: 'reviewer' });
		session.close();
	});

	it('[DEV-17] a carried record stands among the device’s own, with the pen of this device where it is enrolled', async () => {
		const { session, ports, hand, host } = await check(31);
		const { text } = await exportSession(session);
		const before = await ports.store.all('records');
		expect(await keepFile(ports, text)).toMatchObject({ ok: true, value: { added: 0 } });
		expect(await ports.store.all('records')).toEqual(before);
		const restored = await tablet(32, host);
		await restored.ports.store.put('pens', { key: hand.key.publicKey, pen: null });
		expect(await keepFile(restored.ports, text)).toMatchObject({ ok: true, value: { added: 1 } });
		const row = { role: 'engineer', penKey: hand.key.publicKey, hostName: 'board.example', storedHeads: [] };
		expect(restored.disk.shelves.records.get(session.record)).toMatchObject(row);
		session.close();
	});

	it('[DEV-17] a file brought into an open record shows at once; one of another record is refused', async () => {
		const one = await check(5);
		const two = await check(6);
		const before = await exportSession(one.session);
		await one.session.write('remark', { to: null, asks: false, text: 'later' });
		const after = await exportSession(one.session);
		expect(await takeFile(two.session, after.text)).toMatchObject({ ok: false, problem: { code: 'other-record' } });
		const third = await tablet(7, one.host);
		await keepFile(third.ports, before.text);
		const session = await openSession({ ...third.ports, network: null }, one.session.record, third.hand);
		expect(await takeFile(session, after.text)).toMatchObject({ ok: true, value: { added: 1 } });
		expect(session.entries.size).toBe(2);
		for (const open of [one.session, two.session, session]) open.close();
	});

	it('[DEV-17] an altered file changes nothing on the disk', async () => {
		const { session, host } = await check(8);
		const { text } = await exportSession(session);
		const other = await tablet(9, host);
		const altered = text.replace('Engineer at the bench', 'Engineer on the bench');
		expect(await keepFile(other.ports, altered)).toMatchObject({ ok: false, problem: { code: 'file-unsound' } });
		expect(other.disk.entries.size + other.disk.blobs.size).toBe(0);
		session.close();
	});
});

describe('joinRecord(ports, invite, hand, name)', () => {
	const answering = (answers: Record<string, HttpAnswer>) => (path: string) => answers[path] ?? null;

	it('[DEV-18] the secret is pending before it is sent, stays so while the host is out of reach, and goes with success', async () => {
		const { clock, session } = await check(10);
		const host = new TestHost(clock, session.record);
		const { ports, hand, disk } = await tablet(11, host);
		host.enrol(hand.key.publicKey, 'pilot');
		const invite = await keepInvite(ports, 'secret-of-the-link');
		if (!invite.ok) throw new Error(invite.problem.code);
		host.answers = answering({ '/api/join': { status: 0, body: null } });
		const failing = joinRecord(ports, invite.value, hand, 'Pilot');
		await clock.pass(50);
		expect(await failing).toMatchObject({ ok: false, problem: { code: 'host-unreachable' } });
		expect(await pendingInvites(ports)).toMatchObject({ ok: true, value: [{ secret: 'secret-of-the-link' }] });
		const body = { record: session.record, role: 'pilot', name: 'Pilot', hostKey: hand.key.publicKey };
		host.answers = answering({ '/api/join': { status: 200, body } });
		const joining = joinRecord(ports, invite.value, hand, 'Pilot');
		await clock.pass(50);
		const joined = await joining;
		if (!joined.ok) throw new Error(joined.problem.code);
		expect(host.posts.at(-1)?.path).not.toContain('secret');
		expect(disk.shelves.invites.size).toBe(0);
		expect(disk.shelves.records.get(session.record)).toMatchObject({ role: 'pilot', hostName: 'board.example' });
		expect(joined.value.words).toBe(
			await joinWords({ record: session.record, hostKey: body.hostKey, publicKey: hand.key.publicKey }),
		);
		joined.value.session?.close();
	});

	it('[RLY-54] the first engineer of a host that keeps nothing joins no record, and the invite is used', async () => {
		const { clock } = await check(14);
		const host = new TestHost(clock, 'any');
		const { ports, hand, disk } = await tablet(15, host);
		const body = { record: '', role: 'engineer', name: 'First', hostKey: hand.key.publicKey };
		host.answers = answering({ '/api/join': { status: 200, body } });
		const invite = await keepInvite(ports, 'welcome');
		if (!invite.ok) throw new Error(invite.problem.code);
		const joining = joinRecord(ports, invite.value, hand, 'First');
		await clock.pass(50);
		expect(await joining).toEqual({ ok: true, value: { session: null, words: null } });
		expect(disk.shelves.invites.size + disk.shelves.records.size).toBe(0);
	});

	it('[DEV-18] an invite that was used up is forgotten, and the reason is said', async () => {
		const { clock } = await check(12);
		const host = new TestHost(clock, 'any');
		const { ports, hand, disk } = await tablet(13, host);
		host.answers = answering({ '/api/join': { status: 410, body: { code: 'invite-spent' } } });
		const invite = await keepInvite(ports, 'spent');
		if (!invite.ok) throw new Error(invite.problem.code);
		const joining = joinRecord(ports, invite.value, hand, 'Pilot');
		await clock.pass(50);
		expect(await joining).toEqual({ ok: false, problem: { code: 'invite-spent', found: '410 invite-spent' } });
		expect(disk.shelves.invites.size).toBe(0);
	});
});
