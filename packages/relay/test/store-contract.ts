import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { EntryRow, RecordWrite, Store } from '../src/store/store.js';

/** How a kind of store is opened and copied back; `place` is an empty folder of its own for each test. */
export interface StoreKind {
	readonly name: string;
	open(place: string): Promise<Store>;
	/** Opens the copy that `backup(path)` made. */
	openCopy(path: string): Promise<Store>;
}

const bytes = (...values: number[]) => new Uint8Array(values);

export function entryRow(chain: string, seq: number, options: Partial<EntryRow> = {}): EntryRow {
	return {
		hash: `${chain}-${seq}`,
		chain,
		seq,
		prev: seq === 1 ? null : `${chain}-${seq - 1}`,
		json: bytes(seq % 256, 0, 255),
		...options,
	};
}

export function write(record: string, entries: readonly EntryRow[], options: Partial<RecordWrite> = {}): RecordWrite {
	return { record, atMs: 1_000, update: bytes(7, 0, entries.length), entries, people: [], ...options };
}

const invite = {
	digest: 'd1',
	record: 'r',
	role: 'pilot',
	createdAtMs: 0,
	expiresAtMs: 100,
	usesLeft: 2,
	revoked: false,
};

/** Every promise of `Store`, kept the same by every kind of store. */
export function describeStoreContract(kind: StoreKind): void {
	describe(`${kind.name} keeps the store's contract`, () => {
		let place: string;
		let store: Store;

		beforeEach(async () => {
			place = await mkdtemp(join(tmpdir(), 'stillmast-store-'));
			store = await kind.open(place);
		});
		afterEach(async () => {
			await store.close().catch(() => undefined);
			await rm(place, { recursive: true, force: true });
		});

		it('[RLY-1] append(write) keeps updates in order and entries byte for byte, zero bytes included', async () => {
			await store.append(write('r', [entryRow('a', 1)], { update: bytes(0, 1, 0) }));
			await store.append(write('r', [entryRow('a', 2)], { update: bytes(9, 0, 0) }));
			const found = await store.load('r');
			expect(found.updates.map(({ bytes }) => [...bytes])).toEqual([
				[0, 1, 0],
				[9, 0, 0],
			]);
			expect(found.entries.map((entry) => ({ ...entry, json: [...entry.json] }))).toEqual([
				{ hash: 'a-1', chain: 'a', seq: 1, prev: null, json: [1, 0, 255] },
				{ hash: 'a-2', chain: 'a', seq: 2, prev: 'a-1', json: [2, 0, 255] },
			]);
		});

		it('[RLY-1] append(write) shows everything again after the store was closed and opened', async () => {
			await store.append(write('r', [entryRow('a', 1), entryRow('b', 1)]));
			await store.close();
			store = await kind.open(place);
			expect((await store.load('r')).entries.map((entry) => entry.hash)).toEqual(['a-1', 'b-1']);
			expect(await store.records()).toEqual(['r']);
		});

		it('[RLY-2] append(write) leaves an entry that is there already as it is', async () => {
			await store.append(write('r', [entryRow('a', 1)]));
			await store.append(write('r', [entryRow('a', 1, { json: bytes(66) })]));
			expect((await store.load('r')).entries.map((entry) => [...entry.json])).toEqual([[1, 0, 255]]);
		});

		it('[RLY-2] append(write) keeps the same hash apart in two records', async () => {
			await store.append(write('r', [entryRow('a', 1)]));
			await store.append(write('s', [entryRow('a', 1, { json: bytes(66) })]));
			expect((await store.load('s')).entries.map((entry) => [...entry.json])).toEqual([[66]]);
			expect(await store.records()).toEqual(['r', 's']);
		});

		it('[RLY-3] append(write) answers with the last entry of each chain up to which none is missing', async () => {
			expect(await store.append(write('r', [entryRow('a', 1), entryRow('a', 2), entryRow('b', 1)]))).toEqual([
				{ chain: 'a', seq: 2, hash: 'a-2' },
				{ chain: 'b', seq: 1, hash: 'b-1' },
			]);
			expect(await store.append(write('r', [entryRow('a', 5), entryRow('a', 4)]))).toEqual([
				{ chain: 'a', seq: 2, hash: 'a-2' },
			]);
			expect(await store.append(write('r', [entryRow('a', 3)]))).toEqual([{ chain: 'a', seq: 5, hash: 'a-5' }]);
			expect(await store.heads('r')).toEqual([
				{ chain: 'a', seq: 5, hash: 'a-5' },
				{ chain: 'b', seq: 1, hash: 'b-1' },
			]);
		});

		it('[RLY-3] append(write) names no head for a chain whose first entry is missing', async () => {
			expect(await store.append(write('r', [entryRow('a', 2)]))).toEqual([]);
		});

		it('[RLY-3] append(write) names the head of every branch of a forked chain', async () => {
			await store.append(write('r', [entryRow('a', 1), entryRow('a', 2), entryRow('a', 3)]));
			const fork = entryRow('a', 2, { hash: 'fork-2' });
			expect(await store.append(write('r', [fork]))).toEqual([
				{ chain: 'a', seq: 3, hash: 'a-3' },
				{ chain: 'a', seq: 2, hash: 'fork-2' },
			]);
		});

		it('append(write) keeps 200 writes handed over at once, each record in its order', async () => {
			const writes = Array.from({ length: 200 }, (_, index) =>
				store.append(write(`r${index % 4}`, [entryRow('a', Math.floor(index / 4) + 1)])),
			);
			const heads = (await Promise.all(writes)).map((head) => head[0]?.seq);
			expect(Math.max(...heads.map(Number))).toBe(50);
			for (let record = 0; record < 4; record++) {
				const { entries } = await store.load(`r${record}`);
				expect(entries.map((entry) => entry.seq)).toEqual(Array.from({ length: 50 }, (_, index) => index + 1));
			}
		});

		it('append(write) of an unfit value rejects and keeps nothing of it', async () => {
			const unfit = { ...entryRow('a', 2), seq: 1.5 };
			await expect(store.append(write('r', [entryRow('a', 1), unfit]))).rejects.toThrow();
			await store.reopen();
			expect(await store.load('r')).toEqual({ updates: [], entries: [], people: [] });
		});

		it('append(write) of an unfit value takes no other write along', async () => {
			const unfit = store.append(write('r', [{ ...entryRow('a', 1), seq: 1.5 }]));
			const sound = store.append(write('s', [entryRow('b', 1)]));
			await expect(unfit).rejects.toThrow();
			expect(await sound).toEqual([{ chain: 'b', seq: 1, hash: 'b-1' }]);
		});

		it('load(record) of a record that is not here is empty', async () => {
			expect(await store.load('nowhere')).toEqual({ updates: [], entries: [], people: [] });
		});

		it('reopen() keeps what was committed and goes on', async () => {
			await store.append(write('r', [entryRow('a', 1)]));
			await store.reopen();
			expect(await store.append(write('r', [entryRow('a', 2)]))).toEqual([{ chain: 'a', seq: 2, hash: 'a-2' }]);
		});

		it('memberships(key) finds a key in every record, with its newest role', async () => {
			const person = { key: 'k', role: 'pilot', name: 'pilot', revoked: false };
			await store.append(write('r', [], { people: [person] }));
			await store.append(write('s', [], { people: [person, { ...person, key: 'other' }] }));
			await store.append(write('s', [], { people: [{ ...person, role: 'engineer', revoked: true }] }));
			expect(await store.memberships('k')).toEqual([
				{ record: 'r', role: 'pilot', name: 'pilot', revoked: false },
				{ record: 's', role: 'engineer', name: 'pilot', revoked: true },
			]);
			expect((await store.load('r')).people).toEqual([person]);
		});

		it('putBlob(blob) keeps bytes by record and hash and never overwrites', async () => {
			await store.putBlob({ record: 'r', hash: 'h', bytes: bytes(0, 1, 2) });
			await store.putBlob({ record: 'r', hash: 'h', bytes: bytes(9) });
			expect([...((await store.getBlob('r', 'h')) ?? [])]).toEqual([0, 1, 2]);
			expect(await store.getBlob('s', 'h')).toBeNull();
			expect(await store.hasBlobs('r', ['x', 'h', 'y'])).toEqual(['h']);
			await store.putBlob({ record: 'r', hash: 'a', bytes: bytes(3) });
			expect(await store.blobHashes('r')).toEqual(['h', 'a']);
		});

		it('spendInvite(digest, atMs) spends each use once, and none after expiry or revocation', async () => {
			await store.append(write('r', []));
			await store.putInvite(invite);
			const spent = await Promise.all([1, 2, 3].map(() => store.spendInvite('d1', 99)));
			expect(spent.filter((one) => one)).toHaveLength(2);
			await store.putInvite({ ...invite, digest: 'd2' });
			expect(await store.spendInvite('d2', 100)).toBe(false);
			await store.revokeInvite('d2');
			expect(await store.spendInvite('d2', 50)).toBe(false);
			expect(await store.getInvite('d2')).toEqual({ ...invite, digest: 'd2', revoked: true });
			expect((await store.invites('r')).map((row) => row.usesLeft)).toEqual([0, 2]);
			expect(await store.spendInvite('unknown', 0)).toBe(false);
		});

		it('keepHostKey(fresh) keeps the first key for ever', async () => {
			expect(await store.hostKey()).toBeNull();
			const first = { publicKey: 'p1', secret: bytes(1, 0) };
			expect(await store.keepHostKey(first)).toEqual(first);
			expect(await store.keepHostKey({ publicKey: 'p2', secret: bytes(2) })).toEqual(first);
			expect(await store.hostKey()).toEqual(first);
		});

		it('[RLY-6] backup(path) made while writes go on opens as a whole store', async () => {
			const writes: Promise<unknown>[] = [];
			for (let seq = 1; seq <= 40; seq++) writes.push(store.append(write('r', [entryRow('a', seq)])));
			const path = join(place, 'copy');
			const copied = store.backup(path);
			for (let seq = 41; seq <= 80; seq++) writes.push(store.append(write('r', [entryRow('a', seq)])));
			await Promise.all([...writes, copied]);
			const copy = await kind.openCopy(path);
			const { entries } = await copy.load('r');
			expect(entries.length).toBeGreaterThanOrEqual(40);
			expect(await copy.heads('r')).toEqual([{ chain: 'a', seq: entries.length, hash: `a-${entries.length}` }]);
			await copy.close();
			await expect(store.backup(path)).rejects.toThrow();
		});
	});
}
