import type { Entry } from '@stillmast/formats/entry';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { updateOf } from '../src/carrier/index.js';
import { type MemoryDisk, memoryDisk, memoryStore } from '../src/client/memory/index.js';
import type { TabsPort } from '../src/client/ports.js';
import { openSession } from '../src/client/session/open.js';
import type { ClientPorts, Session } from '../src/client/session/types.js';
import type { LocalStore } from '../src/client/store/index.js';
import { canonicalJson, type EntrySet, hashEntry, type PenKey } from '../src/index.js';
import { closeCodes } from '../src/wire/index.js';
import { seededRandom, type VirtualClock, virtualClock } from './client-world/clock.js';
import { penKey, smallRecord } from './client-world/crew.js';
import { promptCrypto } from './client-world/crypto.js';
import { type TestDevice, testDevice } from './client-world/device.js';
import { TestHost, type TestNetwork } from './client-world/host.js';

/** A device with its disk, its network and its pen; pages come and go on it. */
interface Tablet {
	readonly key: PenKey;
	readonly disk: MemoryDisk;
	readonly network: TestNetwork;
	readonly device: TestDevice;
	readonly open: (store?: LocalStore) => Promise<Session>;
}

interface World {
	readonly clock: VirtualClock;
	readonly host: TestHost;
	readonly record: string;
	readonly tablet: (role?: 'pilot' | 'engineer' | 'reviewer') => Promise<Tablet>;
}

let seed = 1_000;

async function world(): Promise<World> {
	const clock = virtualClock();
	const { set, entries } = await smallRecord(++seed, 0);
	const host = new TestHost(clock, set.record);
	for (const entry of entries) host.entries.set(entry.hash, entry);
	host.restart();
	return {
		clock,
		host,
		record: set.record,
		tablet: async (role = 'pilot') => {
			const key = await penKey(++seed);
			host.enrol(key.publicKey, role);
			const disk = memoryDisk();
			const network = host.network();
			const device = testDevice();
			const channels = new Set<(message: unknown) => void>();
			const tabs = (): TabsPort => {
				let own: ((message: unknown) => void) | null = null;
				return {
					post: (message) => {
						for (const channel of channels) if (channel !== own) channel(structuredClone(message));
					},
					onMessage: (listener) => {
						own = listener;
						channels.add(listener);
						return () => void channels.delete(listener);
					},
					close: () => void (own && channels.delete(own)),
				};
			};
			const open = (store: LocalStore = memoryStore(disk)) => {
				const ports: ClientPorts = {
					clock,
					random: seededRandom(++seed),
					device,
					store,
					network,
					tabs,
					build: 'test',
				};
				return openSession(ports, set.record, { key, unlocked: 'by-code' });
			};
			return { key, disk, network, device, open };
		},
	};
}

async function remark(session: Session, text: string): Promise<Entry> {
	const written = await session.write('remark', { to: null, asks: false, text });
	if (!written.ok) throw new Error(JSON.stringify(written.problem));
	return written.value as unknown as Entry;
}

const contents = (set: EntrySet) => set.inOrder().map((entry) => canonicalJson(entry));

describe('openSession(ports, record, hand)', () => {
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

	it('[DEV-11] two crews converge after one was away for a whole flight; everything is stored and shown on both', async () => {
		const { clock, host, tablet } = await world();
		const [cockpit, workshop] = [await tablet('pilot'), await tablet('engineer')];
		const a = await cockpit.open();
		const b = await workshop.open();
		await clock.pass(300);
		cockpit.network.set('down');
		for (let n = 0; n < 40; n++) {
			await remark(a, `from the air ${n}`);
			if (n % 2 === 0) await remark(b, `on the ground ${n}`);
			await clock.pass(100);
		}
		expect(a.status.counts.notAtHost).toBe(40);
		cockpit.network.set('up');
		await clock.pass(6_000);
		expect(contents(a.entries)).toEqual(contents(b.entries));
		expect(host.entries.size).toBe(a.entries.size);
		expect(a.status.counts).toMatchObject({ notAtHost: 0, beingKept: 0, notOnThisDevice: 0, lacking: 0 });
	});

	it('[DEV-11] 150 entries written offline and reloaded get through at once, in frames of 64 KiB', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		a.network.set('down');
		const before = await a.open();
		for (let n = 0; n < 150; n++) await remark(before, `offline ${n} ${'x'.repeat(700)}`);
		await before.settled();
		before.close();
		const session = await a.open();
		expect(session.entries.size).toBe(150);
		a.network.set('up');
		await clock.pass(3_000);
		expect(host.entries.size).toBe(151);
		expect(session.status.counts.notAtHost).toBe(0);
	});

	it('[DEV-12] what is not acknowledged 5 s later goes again, the same bytes each time, from a document of its own', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		host.commits = false;
		const entry = await remark(session, 'lost on the way');
		await clock.pass(300);
		a.network.sent();
		await clock.pass(4_000);
		expect(a.network.sent().filter((message) => message.type === 'sync-update')).toEqual([]);
		await clock.pass(3_000);
		const again = a.network.sent().flatMap((message) => (message.type === 'sync-update' ? [message.update] : []));
		expect(again).toHaveLength(1);
		await clock.pass(6_000);
		const third = a.network.sent().flatMap((message) => (message.type === 'sync-update' ? [message.update] : []));
		expect(third).toEqual(again);
		expect(session.status.counts.notAtHost).toBe(1);
		host.commits = true;
		await clock.pass(12_000);
		expect(host.entries.get(entry.hash)).toEqual(entry);
		expect(session.status.counts.notAtHost).toBe(0);
	});

	it('[DEV-12] after a failed commit at the host everything not acknowledged is there again within 5 s', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		host.commits = false;
		for (let n = 0; n < 10; n++) await remark(session, `uncommitted ${n}`);
		await clock.pass(300);
		host.commits = true;
		host.restart();
		await clock.pass(5_000);
		expect(host.entries.size).toBe(11);
		expect(session.status.counts.notAtHost).toBe(0);
	});

	it('[DEV-13] a host that has lost what it had acknowledged is told so by its own heads, and gets it again', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		const entry = await remark(session, 'stored, then lost');
		await clock.pass(300);
		expect(session.placeOf(entry.hash)?.host).toBe(true);
		host.entries.delete(entry.hash);
		host.commits = false;
		host.restart();
		await clock.pass(3_000);
		expect(session.placeOf(entry.hash)?.host).toBe(false);
		expect(session.status.counts.notAtHost).toBe(1);
		host.commits = true;
		await clock.pass(10_000);
		expect(host.entries.has(entry.hash)).toBe(true);
		expect(session.placeOf(entry.hash)?.host).toBe(true);
	});

	it('[DEV-9] deletes, overwrites and garbage from the network change nothing and are reported', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		const entry = await remark(session, 'still here');
		await clock.pass(300);
		const forged = { ...entry, text: 'altered' };
		host.shout({ type: 'sync-update', update: updateOf([{ ...forged, hash: hashEntry(forged) }]) });
		host.shout({ type: 'sync-update', update: updateOf([forged]) });
		host.shout({ type: 'sync-update', update: Uint8Array.of(1, 2, 3) });
		await clock.pass(300);
		expect(session.entries.size).toBe(2);
		expect(session.entries.get(entry.hash)).toEqual(entry);
		expect(session.status.problems.map((problem) => problem.code).sort()).toEqual([
			'apply-failed',
			'host-sent-foreign',
			'signature-wrong',
		]);
		const after = await remark(session, 'and writing goes on');
		await clock.pass(300);
		expect(host.entries.has(after.hash)).toBe(true);
	});

	it('[DEV-14] an entry of a newer version makes the session read-only; what is unsent still goes out', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		a.network.set('stalled');
		const unsent = await remark(session, 'unsent');
		await clock.pass(100);
		a.network.set('up');
		host.shout({ type: 'sync-update', update: updateOf([{ ...unsent, v: 2 as 1, hash: 'B'.repeat(43) }]) });
		await clock.pass(100);
		expect(await session.write('remark', { to: null, asks: false, text: 'x' })).toMatchObject({
			ok: false,
			problem: { code: 'newer-format' },
		});
		await clock.pass(12_000);
		expect(host.entries.has(unsent.hash)).toBe(true);
	});

	it('[DEV-15] a reviewer reads everything and sends nothing', async () => {
		const { clock, host, tablet } = await world();
		const pilot = await (await tablet()).open();
		const reading = await tablet('reviewer');
		const reviewer = await reading.open();
		await clock.pass(300);
		const entry = await remark(pilot, 'to be read');
		await clock.pass(300);
		expect(reviewer.entries.has(entry.hash)).toBe(true);
		expect(reviewer.status.role).toBe('reviewer');
		await reviewer.write('remark', { to: null, asks: false, text: 'not mine to write' });
		await clock.pass(20_000);
		const sent = reading.network.sent().map((message) => message.type);
		expect(sent.filter((type) => type === 'sync-update' || type === 'sync-step-2')).toEqual([]);
		expect(host.entries.size).toBe(2);
	});

	it('[DEV-16] blobs put offline reach the host after the sync, and another device gets them from there', async () => {
		const { clock, host, tablet } = await world();
		const [one, two] = [await tablet(), await tablet()];
		one.network.set('down');
		const a = await one.open();
		const bytes = Uint8Array.from({ length: 150_000 }, (_, n) => n % 251);
		const put = await a.putBlob(bytes);
		if (!put.ok) throw new Error(put.problem.code);
		one.network.set('up');
		await clock.pass(5_000);
		expect(host.blobs.get(put.value)).toEqual(bytes);
		const b = await two.open();
		await clock.pass(300);
		const got = b.blob(put.value);
		await clock.pass(300);
		expect(await got).toEqual(bytes);
		const nobody = b.blob('A'.repeat(43));
		await clock.pass(21_000);
		expect(await nobody).toBeNull();
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

	it('[DEV-21] a half-open link: nothing is lost, the count of what is not at the host is right, it recovers', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		a.network.set('stalled');
		for (let n = 0; n < 5; n++) await remark(session, `into the void ${n}`);
		await clock.pass(12_500);
		expect(session.status.link.state).not.toBe('open');
		expect(session.status.counts.notAtHost).toBe(5);
		a.network.set('up');
		await clock.pass(5_000);
		expect(session.status).toMatchObject({ link: { state: 'open' }, synced: true, counts: { notAtHost: 0 } });
		expect(host.entries.size).toBe(6);
	});

	it('[DEV-11] a disk that falls silent during the sync does not keep the record from being level', async () => {
		const { clock, tablet } = await world();
		const a = await tablet();
		let mute = false;
		const session = await a.open(
			memoryStore(a.disk, {
				failing: () => null,
				settle: () => (mute ? new Promise(() => undefined) : Promise.resolve()),
			}),
		);
		mute = true;
		await clock.pass(500);
		expect(session.status.synced).toBe(true);
	});

	it('[DEV-11] an answer of the host that never comes is asked for again', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		host.swallows = 'sync-step-2';
		const session = await a.open();
		await clock.pass(4_000);
		expect(session.status).toMatchObject({ link: { state: 'open' }, synced: false });
		host.swallows = null;
		await clock.pass(3_000);
		expect(session.status.synced).toBe(true);
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
