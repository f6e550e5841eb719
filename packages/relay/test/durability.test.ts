import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Entry } from '@stillmast/formats/entry';
import { updateOf } from '@stillmast/record/carrier';
import type { EntrySet } from '@stillmast/record/set';
import { encodeMessage } from '@stillmast/record/wire';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';
import type { Store } from '../src/store/store.js';
import { openCheck, type Person, person, remark, writerOf } from './crew.js';
import { openRooms, until } from './in-process.js';
import { RawClient } from './raw-client.js';

let place: string;
beforeEach(async () => {
	place = await mkdtemp(join(tmpdir(), 'stillmast-durability-'));
});
afterEach(() => rm(place, { recursive: true, force: true }));

const path = () => join(place, 'records.sqlite');

/** A store whose n-th append fails after it was begun, once; as a full disk or a broken one would. */
function failingAt(store: Store, n: number): Store {
	let appends = 0;
	return {
		...store,
		append(write) {
			appends += 1;
			return appends === n ? Promise.reject(new Error('disk out of order')) : store.append(write);
		},
	};
}

describe('a failed write', () => {
	const WRITES = 12;

	it.each(Array.from({ length: WRITES }, (_, index) => index + 2))(
		'[RLY-12] at append %i: nothing of it is acknowledged, sockets close with 1013, and all that was acknowledged is kept',
		async (n) => {
			const real = await openSqliteStore(path());
			const rooms = await openRooms(failingAt(real, n));
			const writer = writerOf(rooms.check, rooms.pilot);
			const acknowledged = new Map<string, number>();
			const written: Entry[] = [];
			let socket = await rooms.seat();
			const reader = await rooms.seat({ key: rooms.engineer.key.fingerprint, role: 'engineer' });
			for (let count = 0; count < WRITES; count++) {
				const entry = await remark(writer, `reading ${count}`);
				written.push(entry);
				// Recovery as the client does it: everything not acknowledged goes again, as it is.
				const open = written.filter((one) => (acknowledged.get(one.chain) ?? 0) < one.seq);
				socket.arrive(encodeMessage({ type: 'sync-update', update: updateOf(open) }));
				await socket.until(
					() => socket.closed !== null || heardSeq() >= entry.seq,
					`stored or a close after entry ${count}`,
				);
				note();
				if (!socket.closed) continue;
				expect(socket.closed.code).toBe(1013);
				expect(heardSeq()).toBeLessThan(entry.seq);
				await reader.until((one) => one.closed?.code === 1013, 'the reader’s close');
				await until(() => rooms.hall.storeState === 'ready', 'the store to be open again');
				socket = await rooms.seat();
				await socket.until((one) => one.says('stored'), 'the heads');
				note();
				const again = written.filter((one) => (acknowledged.get(one.chain) ?? 0) < one.seq);
				socket.arrive(encodeMessage({ type: 'sync-update', update: updateOf(again) }));
				await socket.until(() => heardSeq() >= entry.seq, 'stored after coming back');
				note();
			}
			await rooms.hall.stop();
			await real.close();
			const reopened = await openSqliteStore(path());
			const { entries } = await reopened.load(rooms.check.record);
			expect(entries.map((row) => row.hash).sort()).toEqual(
				rooms.check.set
					.inOrder()
					.map((entry) => entry.hash)
					.sort(),
			);
			await reopened.close();

			function heardSeq(): number {
				const seqs = socket
					.messages()
					.flatMap((message) =>
						message.type === 'stored'
							? message.heads.flatMap(([chain, seq]) => (chain === writer.chain ? [seq] : []))
							: [],
					);
				return Math.max(0, ...seqs);
			}
			function note(): void {
				acknowledged.set(writer.chain, Math.max(acknowledged.get(writer.chain) ?? 0, heardSeq()));
			}
		},
	);

	it('[RLY-12] the third within a minute: writes are refused, loudly', async () => {
		const real = await openSqliteStore(path());
		let failing = false;
		const store: Store = {
			...real,
			append: (write) => (failing ? Promise.reject(new Error('disk gone')) : real.append(write)),
		};
		const rooms = await openRooms(store);
		const writer = writerOf(rooms.check, rooms.pilot);
		failing = true;
		for (let count = 0; count < 3; count++) {
			expect(rooms.hall.storeState).not.toBe('refusing');
			const socket = await rooms.seat();
			socket.arrive(encodeMessage({ type: 'sync-update', update: updateOf([await remark(writer, `${count}`)]) }));
			await socket.until((one) => one.closed?.code === 1013, 'the close');
			await until(() => rooms.hall.storeState !== 'reopening', 'the store');
		}
		expect(rooms.hall.storeState).toBe('refusing');
		expect(rooms.log).toContainEqual(expect.objectContaining({ level: 'error', event: 'store-refuses-writes' }));
		await rooms.hall.stop();
		await real.close();
	});
});

describe('a record that was kept', () => {
	it('[RLY-13] an entry row that the replayed updates do not show is set again, once', async () => {
		const store = await openSqliteStore(path());
		const creator = await person('engineer');
		const check = await openCheck(creator);
		const entry = await remark(check.writer, 'only in its row');
		const { rowOf } = await import('../src/room/entry-row.js');
		await store.append({
			record: check.record,
			atMs: 0,
			update: updateOf(check.set.inOrder().slice(0, 1)),
			entries: check.set.inOrder().map(rowOf),
			people: [],
		});
		expect(await shownAfterLoad(store, check.set)).toContain(entry.hash);
		const { updates } = await store.load(check.record);
		expect(updates).toHaveLength(2);
		expect(await shownAfterLoad(store, check.set)).toContain(entry.hash);
		expect((await store.load(check.record)).updates).toHaveLength(2);
		await store.close();
	});

	it('[RLY-13] a transport row that cannot be read is passed over and reported; its entries are shown', async () => {
		const store = await openSqliteStore(path());
		const creator = await person('engineer');
		const check = await openCheck(creator);
		await remark(check.writer, 'kept');
		const { rowOf } = await import('../src/room/entry-row.js');
		await store.append({
			record: check.record,
			atMs: 0,
			update: new Uint8Array([1, 2, 3]),
			entries: check.set.inOrder().map(rowOf),
			people: [],
		});
		expect((await shownAfterLoad(store, check.set)).sort()).toEqual(
			check.set
				.inOrder()
				.map(({ hash }) => hash)
				.sort(),
		);
		await store.close();
	});

	async function shownAfterLoad(store: Store, set: EntrySet): Promise<string[]> {
		const { createHall } = await import('../src/room/hall.js');
		const { guardHere } = await import('../src/room/guard.js');
		const { applyUpdate, createCarrier, readEntries } = await import('@stillmast/record/carrier');
		const { systemClock } = await import('../src/ports.js');
		const host = await person('host');
		const hall = createHall({
			store,
			guard: guardHere,
			pen: host.options,
			clock: systemClock,
			log: () => undefined,
		});
		const room = await hall.room(set.record);
		const missing = room?.missingFrom(new Uint8Array([0]));
		const doc = createCarrier();
		if (missing?.ok) applyUpdate(doc, missing.value);
		await hall.stop();
		return readEntries(doc).entries.map(({ hash }) => hash);
	}
});

describe('a host that is killed', () => {
	let child: ChildProcess;

	async function startChild(): Promise<{ url: string; publicKey: string }> {
		child = fork(fileURLToPath(new URL('./relay-child.mjs', import.meta.url)), [place], { serialization: 'advanced' });
		const [started] = (await once(child, 'message')) as [{ url: string; publicKey: string }];
		return started;
	}
	afterEach(() => {
		child.kill('SIGKILL');
	});

	async function adopt(set: EntrySet): Promise<void> {
		child.send({ record: set.record, entries: [...set.inOrder()] });
		const [answer] = (await once(child, 'message')) as [{ adopted: unknown }];
		expect(answer.adopted).toBeNull();
	}

	async function hashesAt(
		url: string,
		record: string,
		who: Person,
		expected: Iterable<Entry>,
	): Promise<ReadonlySet<string>> {
		const reader = await RawClient.enter(url, record, who);
		reader.sync();
		for (const entry of expected) await reader.untilShows(entry);
		await reader.leave();
		return reader.hashes();
	}

	it('[RLY-11] kill -9 in the middle of writing, four times over: nothing acknowledged is lost', async () => {
		const engineer = await person('engineer');
		let { url, publicKey } = await startChild();
		const check = await openCheck(engineer, { host: publicKey });
		await adopt(check.set);
		const acknowledged: Entry[] = [];
		const pending: Entry[] = [];
		for (let round = 0; round < 4; round++) {
			const client = await RawClient.enter(url, check.record, engineer);
			// What the last kill left open goes again, byte for byte.
			if (pending.length > 0) client.sendEntries(...pending);
			const goal = 40 + round * 17;
			for (let count = 0; count < goal; count++) {
				const entry = await remark(check.writer, `round ${round} entry ${count}`);
				pending.push(entry);
				client.sendEntries(entry);
				if (count === goal - 10)
					await client.until((one) => pending.some((open) => one.hasStored(open)), 'a first ack');
			}
			child.kill('SIGKILL');
			await client.untilClosed();
			while (pending[0] && client.hasStored(pending[0])) acknowledged.push(pending.shift() as Entry);
			({ url } = await startChild());
			const kept = await hashesAt(url, check.record, engineer, acknowledged);
			for (const entry of acknowledged) expect(kept.has(entry.hash)).toBe(true);
		}
		expect(acknowledged.length).toBeGreaterThan(100);
	});

	it('[RLY-63] SIGTERM closes sockets with 1012 and keeps what was handed over before', async () => {
		const engineer = await person('engineer');
		const { url, publicKey } = await startChild();
		const check = await openCheck(engineer, { host: publicKey });
		await adopt(check.set);
		const client = await RawClient.enter(url, check.record, engineer);
		const entries: Entry[] = [];
		for (let count = 0; count < 50; count++) {
			const entry = await remark(check.writer, `last words ${count}`);
			entries.push(entry);
			client.sendEntries(entry);
		}
		await client.settled();
		child.kill('SIGTERM');
		const [code] = (await once(child, 'exit')) as [number];
		expect(code).toBe(0);
		await client.untilClosed();
		expect(client.closed?.code).toBe(1012);
		const again = await startChild();
		const kept = await hashesAt(again.url, check.record, engineer, entries);
		expect(kept.size).toBe(check.set.size);
	});
});
