import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import * as Y from 'yjs';
import { addEntries, applyUpdate, createCarrier, updateOf } from '../src/carrier/index.js';
import { memoryStore } from '../src/client/memory/index.js';
import { canonicalJson, type EntrySet, hashEntry } from '../src/index.js';
import { promptCrypto } from './client-world/crypto.js';
import { remark, world } from './client-world/tablets.js';

const contents = (set: EntrySet) => set.inOrder().map((entry) => canonicalJson(entry));

describe('openSession(ports, record, hand) with a host', () => {
	beforeEach(() => void vi.stubGlobal('crypto', promptCrypto()));
	afterEach(() => void vi.unstubAllGlobals());

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

	it('[DEV-9] a delete from the network is never passed on: a host that has lost everything gets all of it back', async () => {
		const { clock, host, tablet } = await world();
		const a = await tablet();
		const session = await a.open();
		await clock.pass(300);
		const entry = await remark(session, 'deleted by a stranger');
		await clock.pass(300);
		const stranger = createCarrier();
		for (const message of a.network.sent()) if ('update' in message) applyUpdate(stranger, message.update);
		expect(stranger.getMap('entries').has(entry.hash)).toBe(true);
		stranger.getMap('entries').delete(entry.hash);
		host.shout({ type: 'sync-update', update: Y.encodeStateAsUpdate(stranger) });
		await clock.pass(300);
		host.entries.clear();
		host.restart();
		await clock.pass(10_000);
		expect(session.status.link.state).toBe('open');
		expect(host.entries.has(entry.hash)).toBe(true);
	});

	it('[DEV-9] a client number used twice hides no entry: what comes is read from the update itself', async () => {
		const { clock, host, tablet } = await world();
		const [a, b] = [await tablet(), await tablet('engineer')];
		const [session, other] = [await a.open(), await b.open()];
		await clock.pass(300);
		b.network.set('down');
		const entries = [await remark(other, 'first'), await remark(other, 'second')];
		for (const entry of entries) {
			const doc = createCarrier();
			doc.clientID = 7;
			addEntries(doc, [entry]);
			host.shout({ type: 'sync-update', update: Y.encodeStateAsUpdate(doc) });
		}
		await clock.pass(300);
		for (const entry of entries) expect(session.entries.has(entry.hash)).toBe(true);
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

	it('[DEV-27] gauge moments reach the other pages while there is a link, and are dropped without one', async () => {
		const { clock, tablet } = await world();
		const [one, two] = [await tablet(), await tablet('engineer')];
		const a = await one.open();
		const b = await two.open();
		await clock.pass(300);
		const heard: number[] = [];
		const stop = b.onFeed((feed) => heard.push(feed.values.torquePct ?? Number.NaN));
		const moment = { source: 'feed 1', registration: 'ZZ-TST', timeS: 1, values: { torquePct: 71 }, states: {} };
		a.sendFeed(moment);
		await clock.pass(50);
		one.network.set('down');
		a.sendFeed({ ...moment, values: { torquePct: 72 } });
		await clock.pass(50);
		one.network.set('up');
		await clock.pass(5_000);
		a.sendFeed({ ...moment, values: { torquePct: 73 } });
		await clock.pass(50);
		stop();
		a.sendFeed({ ...moment, values: { torquePct: 74 } });
		await clock.pass(50);
		expect(heard).toEqual([71, 73]);
	});

	it('[DEV-28] what two type into one narrative is one text on both pages, whoever opens it when, and no entry', async () => {
		const { clock, host, tablet } = await world();
		const [one, two] = [await tablet(), await tablet('engineer')];
		const [a, b] = [await one.open(), await two.open()];
		await clock.pass(300);
		const shown: string[] = [];
		const first = a.openDraft('summary', (text) => shown.push(text));
		first.type('Vibration in the hover.');
		await clock.pass(50);
		const second = b.openDraft('summary', () => undefined);
		const other = b.openDraft('squawks', () => undefined);
		await clock.pass(50);
		expect(second.text).toBe('Vibration in the hover.');
		first.type('Strong vibration in the hover.');
		second.type('Vibration in the hover, gone at speed.');
		await clock.pass(50);
		expect([first.text, second.text]).toEqual(Array(2).fill('Strong vibration in the hover, gone at speed.'));
		expect(shown.at(-1)).toBe(first.text);
		expect(other.text).toBe('');
		first.close();
		second.type('Smooth.');
		await clock.pass(50);
		expect(shown.at(-1)).not.toBe('Smooth.');
		expect([...host.entries.values()].some(({ kind }) => kind === 'narrative')).toBe(false);
		expect(a.entries.size).toBe(b.entries.size);
	});

	it('[DEV-28] what is typed without a link, or dropped on a slow one, is whole again with the next', async () => {
		const { clock, tablet } = await world();
		const [one, two] = [await tablet(), await tablet('engineer')];
		const [a, b] = [await one.open(), await two.open()];
		await clock.pass(300);
		const first = a.openDraft('summary', () => undefined);
		const second = b.openDraft('summary', () => undefined);
		one.network.set('down');
		first.type('typed without a link');
		second.type('by the other, meanwhile: ');
		await clock.pass(50);
		one.network.set('up');
		await clock.pass(5_000);
		expect(first.text).toBe(second.text);
		expect(first.text).toContain('typed without a link');
		expect(first.text).toContain('by the other, meanwhile: ');
		one.network.slow(true);
		first.type('');
		first.type('typed while the link was slow');
		await clock.pass(500);
		expect(second.text).not.toBe(first.text);
		one.network.slow(false);
		await clock.pass(2_000);
		expect(second.text).toBe('typed while the link was slow');
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
});
