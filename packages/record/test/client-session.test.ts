import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { memoryStore } from '../src/client/memory/index.js';
import { closeCodes } from '../src/wire/index.js';
import { promptCrypto } from './client-world/crypto.js';
import { remark, world } from './client-world/tablets.js';

describe('openSession(ports, record, hand) on its device', () => {
	beforeEach(() => void vi.stubGlobal('crypto', promptCrypto()));
	afterEach(() => void vi.unstubAllGlobals());

	it('[DEV-10] an entry goes from being kept to on this device to stored at the host', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const held: (() => void)[] = [];
		const release = async () => {
			for (let n = 0; n < 8; n++) {
				for (const done of held.splice(0)) done();
				await clock.settle();
			}
		};
		const slow = memoryStore(a.disk, {
			failing: () => null,
			settle: () => new Promise((resolve) => held.push(resolve)),
		});
		const opening = a.open(slow);
		await release();
		const session = await opening;
		await clock.pass(200);
		await release();
		await clock.pass(100);
		await release();
		const entry = await remark(session, 'first');
		expect(session.placeOf(entry.hash)).toEqual({ device: 'being-kept', host: false, alsoWith: [] });
		expect(session.status.counts.beingKept).toBe(1);
		expect(session.state.judged.has(entry.hash)).toBe(true);
		a.network.sent();
		await clock.pass(1_000);
		expect(a.network.sent().filter((message) => message.type === 'sync-update')).toEqual([]);
		await release();
		expect(session.placeOf(entry.hash)).toEqual({ device: 'on-this-device', host: false, alsoWith: [] });
		await clock.pass(200);
		expect(session.placeOf(entry.hash)).toEqual({ device: 'on-this-device', host: true, alsoWith: [] });
		expect(host.entries.has(entry.hash)).toBe(true);
	});

	it('[DEV-2] nothing leaves before the disk has answered, not even when the host asks for all there is', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		let hold = false;
		const release: (() => void)[] = [];
		const session = await a.open(
			memoryStore(a.disk, {
				failing: () => null,
				settle: () => (hold ? new Promise((resolve) => release.push(resolve)) : Promise.resolve()),
			}),
		);
		await clock.pass(200);
		hold = true;
		const entry = await remark(session, 'held');
		host.restart();
		await clock.pass(2_500);
		expect(host.entries.has(entry.hash)).toBe(false);
		for (const done of release.splice(0)) done();
		await clock.pass(200);
		expect(host.entries.has(entry.hash)).toBe(true);
	});

	it('[DEV-3] a disk that fails does not stop an entry: it goes to the host, is named, and is kept later', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		let broken = false;
		const session = await a.open(
			memoryStore(a.disk, {
				failing: (mode) => (broken && mode === 'readwrite' ? { code: 'store-full' } : null),
				settle: () => Promise.resolve(),
			}),
		);
		await clock.pass(200);
		broken = true;
		const entry = await remark(session, 'nowhere to put it');
		await clock.pass(200);
		expect(host.entries.has(entry.hash)).toBe(true);
		expect(session.placeOf(entry.hash)).toMatchObject({ device: 'not-on-this-device', host: true });
		expect(session.status.problems).toEqual([{ code: 'store-full' }]);
		broken = false;
		await clock.pass(6_000);
		expect(session.placeOf(entry.hash)).toMatchObject({ device: 'on-this-device' });
		expect(session.status.problems).toEqual([]);
		expect([...a.disk.entries.values()].some((row) => row.hash === entry.hash)).toBe(true);
	});

	it('[DEV-3] a disk that says nothing for 3 s does not hold an entry back', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		let mute = false;
		const session = await a.open(
			memoryStore(a.disk, {
				failing: () => null,
				settle: () => (mute ? new Promise(() => undefined) : Promise.resolve()),
			}),
		);
		await clock.pass(200);
		mute = true;
		const entry = await remark(session, 'mute disk');
		await clock.pass(2_900);
		expect(host.entries.has(entry.hash)).toBe(false);
		await clock.pass(300);
		expect(host.entries.has(entry.hash)).toBe(true);
		expect(session.placeOf(entry.hash)).toMatchObject({ device: 'not-on-this-device' });
		expect(session.status.problems).toMatchObject([{ code: 'store-silent' }]);
	});

	it('[DEV-7] a reload goes on with another chain that names the earlier one, and nothing is signed again', async () => {
		const { clock, tablet } = await world();
		const a = await tablet();
		const first = await a.open();
		await clock.pass(200);
		const one = await remark(first, 'before the reload');
		await first.settled();
		first.close();
		const second = await a.open();
		expect(second.entries.get(one.hash)).toEqual(one);
		const two = await remark(second, 'after the reload');
		expect(two.chain).not.toBe(one.chain);
		expect(two.seq).toBe(1);
		expect(two.pen?.heads).toEqual([one.hash]);
		expect(second.state.alarms).toEqual([]);
	});

	it('[DEV-7] two pages of one device write two chains, hear each other without a host, and share the disk', async () => {
		const { clock, tablet } = await world();
		const a = await tablet();
		a.network.set('down');
		const left = await a.open();
		const right = await a.open();
		const one = await remark(left, 'left');
		const two = await remark(right, 'right');
		await clock.pass(200);
		expect(left.entries.has(two.hash)).toBe(true);
		expect(right.entries.has(one.hash)).toBe(true);
		expect(one.chain).not.toBe(two.chain);
		const three = await remark(left, 'knows both');
		expect(three.seen).toEqual([two.hash]);
		await left.settled();
		left.close();
		right.close();
		expect(a.disk.entries.size).toBe(3);
	});

	it('[DEV-10] also with: the pens that have written since, knowing the entry', async () => {
		const { clock, tablet } = await world();
		const [one, two] = [await tablet(), await tablet('engineer')];
		const a = await one.open();
		const b = await two.open();
		await clock.pass(300);
		const entry = await remark(a, 'who knows this');
		await clock.pass(300);
		expect(a.placeOf(entry.hash)?.alsoWith).toEqual([]);
		await remark(b, 'I do');
		await clock.pass(300);
		expect(a.placeOf(entry.hash)?.alsoWith).toEqual([two.key.fingerprint]);
	});

	it('[DEV-8] the device clock is compared with the host’s and said in entries, with its error', async () => {
		const { clock, host, tablet } = await world();
		host.hostAheadMs = 90_000;
		const a = await tablet();
		const session = await a.open();
		expect((await remark(session, 'before any ping')).clock).toBeNull();
		await clock.pass(7_000);
		const entry = await remark(session, 'after a ping');
		expect(entry.clock?.offsetMs).toBeCloseTo(90_000, 6);
		expect(entry.clock?.errorMs).toBe(5);
		expect(entry.clock?.ageS).toBeLessThan(7);
	});

	it('[DEV-10] what the host had acknowledged is remembered over a reload without a link', async () => {
		const { clock, host, tablet, record } = await world();
		const a = await tablet();
		const row = { hostName: 'board.example', hostKey: null, penKey: a.key.publicKey, role: 'pilot', name: 'P' };
		a.disk.shelves.records.set(record, { ...row, key: record, openedAtMs: 0, storedHeads: [], lastContactMs: null });
		const first = await a.open();
		await clock.pass(300);
		const entry = await remark(first, 'stored');
		await clock.pass(300);
		first.close();
		await clock.settle();
		host.restart(closeCodes.storeTrouble);
		a.network.set('down');
		const second = await a.open();
		expect(second.placeOf(entry.hash)).toMatchObject({ device: 'on-this-device', host: true });
		expect(second.status.lastContactMs).toBeGreaterThan(0);
	});

	it('subscribe(listener) tells once for changes that come together, and goes on when a listener throws', async () => {
		const { clock, tablet } = await world();
		const session = await (await tablet()).open();
		await clock.pass(300);
		const thrown: unknown[] = [];
		vi.stubGlobal('reportError', (error: unknown) => thrown.push(error));
		let told = 0;
		session.subscribe(() => {
			throw new Error('a view that fails');
		});
		const stop = session.subscribe(() => {
			told += 1;
		});
		await Promise.all([remark(session, 'one'), remark(session, 'two'), remark(session, 'three')]);
		await clock.pass(200);
		expect(told).toBeGreaterThan(0);
		expect(thrown).toHaveLength(told);
		expect(session.status.counts.notAtHost).toBe(0);
		const so = told;
		stop();
		await remark(session, 'unheard');
		expect(told).toBe(so);
	});

	it('close() leaves no timer, socket or listener behind', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		await remark(session, 'x');
		await clock.pass(50);
		session.close();
		await clock.pass(100);
		expect(a.network.sockets()).toBe(0);
		expect(a.device.listeners()).toBe(0);
		expect(clock.pending()).toBe(0);
		expect(host.entries.size).toBe(2);
		expect(await session.write('remark', { to: null, asks: false, text: 'late' })).toMatchObject({
			problem: { code: 'session-closed' },
		});
	});
});
