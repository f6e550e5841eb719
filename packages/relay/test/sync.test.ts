import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { updateOf } from '@stillmast/record/carrier';
import { encodeMessage } from '@stillmast/record/wire';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';
import type { Store } from '../src/store/store.js';
import { remark, writerOf } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { openRooms } from './in-process.js';
import { RawClient } from './raw-client.js';

describe('a record kept at the host', () => {
	let hangar: Hangar;
	let crew: Crew;

	beforeEach(async () => {
		hangar = await openHangar();
		crew = await openCrew(hangar);
	});
	afterEach(() => hangar.close());

	it('[RLY-10] two clients see each other’s entries at once and end up equal', async () => {
		const { check, engineer, pilot } = crew;
		const a = await RawClient.enter(hangar.url, check.record, engineer);
		const b = await RawClient.enter(hangar.url, check.record, pilot);
		const fromA = await remark(check.writer, 'plates on the bench');
		const fromB = await remark(writerOf(check, pilot), 'fuel 320');
		a.sendEntries(fromA);
		b.sendEntries(fromB);
		await Promise.all([b.untilShows(fromA), a.untilShows(fromB)]);
		a.sync();
		b.sync();
		a.add(fromA);
		b.add(fromB);
		await Promise.all([a.settled(), b.settled()]);
		expect([...a.hashes()].sort()).toEqual([...b.hashes()].sort());
		expect(a.hashes().size).toBe(check.set.size);
	});

	it('[RLY-11] stored names the last entry of the chain once it is kept, and a restart shows it', async () => {
		const { check, engineer } = crew;
		const a = await RawClient.enter(hangar.url, check.record, engineer);
		const entry = await remark(check.writer, 'stored or not');
		a.sendEntries(entry);
		await a.untilStored(entry);
		await hangar.restart();
		const again = await RawClient.enter(hangar.url, check.record, engineer);
		again.sync();
		await again.untilShows(entry);
		await again.untilStored(entry);
	});
});

/** A store whose calls of one kind wait until they are let go. */
function holding(store: Store, call: 'heads' | 'append'): Store & { hold: () => void; letGo: () => void } {
	let held: Promise<void> | null = null;
	let release: () => void = () => undefined;
	return {
		...store,
		hold() {
			held = new Promise((resolve) => (release = resolve));
		},
		letGo: () => release(),
		async heads(record) {
			if (call === 'heads' && held) await held;
			return store.heads(record);
		},
		async append(write) {
			if (call === 'append' && held) await held;
			return store.append(write);
		},
	};
}

describe('a room whose store is slow', () => {
	let place: string;
	beforeEach(async () => {
		place = await mkdtemp(join(tmpdir(), 'stillmast-slow-'));
	});
	afterEach(() => rm(place, { recursive: true, force: true }));

	it('[RLY-10] nothing falls between what a device is given on entering and what it is told from then on', async () => {
		const real = await openSqliteStore(join(place, 'records.sqlite'));
		const store = holding(real, 'heads');
		const rooms = await openRooms(store);
		const writer = await rooms.seat();
		store.hold();
		const entering = await rooms.seat({ key: rooms.engineer.key.fingerprint, role: 'engineer' });
		entering.arrive(encodeMessage({ type: 'sync-step-1', stateVector: new Uint8Array([0]) }));
		await entering.until((one) => one.says('sync-step-2'), 'the record as it is');
		const entry = await remark(writerOf(rooms.check, rooms.pilot), 'written just then');
		writer.arrive(encodeMessage({ type: 'sync-update', update: updateOf([entry]) }));
		await writer.until((one) => one.hasStored(entry), 'the entry to be taken');
		store.letGo();
		await entering.until((one) => one.says('stored'), 'the heads');
		expect(entering.says('sync-update')).toBe(true);
		await rooms.hall.stop();
		await real.close();
	});

	it('[RLY-63] a stop waits for what is being written', async () => {
		const real = await openSqliteStore(join(place, 'records.sqlite'));
		const store = holding(real, 'append');
		const rooms = await openRooms(store);
		const room = await rooms.hall.room(rooms.check.record);
		store.hold();
		const entry = await remark(writerOf(rooms.check, rooms.pilot), 'last words');
		const kept = room?.add([entry]);
		let stopped = false;
		const stopping = rooms.hall.stop().then(() => (stopped = true));
		await new Promise((resolve) => setTimeout(resolve, 50));
		expect(stopped).toBe(false);
		store.letGo();
		await Promise.all([kept, stopping]);
		expect((await real.load(rooms.check.record)).entries.map(({ hash }) => hash)).toContain(entry.hash);
		await real.close();
	});
});
