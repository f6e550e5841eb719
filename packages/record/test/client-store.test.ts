// the browser's own classes (IDBKeyRange) as globals; each test has a database factory of its own
import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { describe, expect, it } from 'vitest';
import { indexedDbStore } from '../src/client/indexeddb/index.js';
import { memoryDisk, memoryStore } from '../src/client/memory/index.js';
import { crc32, type EntryText, type LocalStore } from '../src/client/store/index.js';

const entry = (n: number): EntryText => ({ hash: `hash-${n}`, text: `{"n":${n},"words":"größer ≤ 0,2 ips"}` });

/** A device: several stores (pages) on one disk, and a way to alter a row behind their back. */
interface Device {
	readonly store: () => LocalStore;
	readonly damage: (hash: string) => Promise<void>;
}

function memoryDevice(): Device {
	const disk = memoryDisk();
	return {
		store: () => memoryStore(disk),
		damage: async (hash) => {
			for (const row of disk.entries.values()) if (row.hash === hash) row.bytes[3] = (row.bytes[3] ?? 0) ^ 1;
		},
	};
}

function browserDevice(): Device & { readonly factory: IDBFactory } {
	const factory = new IDBFactory();
	return {
		factory,
		store: () => indexedDbStore(factory),
		damage: async (hash) => {
			const db = await rawDatabase(factory);
			await new Promise<void>((resolve) => {
				const tx = db.transaction(['entries'], 'readwrite');
				const request = tx.objectStore('entries').get(['r1', hash]);
				request.onsuccess = () => {
					const row = request.result as { bytes: Uint8Array };
					row.bytes[3] = (row.bytes[3] ?? 0) ^ 1;
					tx.objectStore('entries').put(row);
				};
				tx.oncomplete = () => resolve();
			});
			db.close();
		},
	};
}

function rawDatabase(factory: IDBFactory): Promise<IDBDatabase> {
	return new Promise((resolve, reject) => {
		const request = factory.open('stillmast');
		request.onsuccess = () => resolve(request.result);
		request.onerror = () => reject(request.error);
	});
}

async function value<T>(answer: Promise<{ ok: true; value: T } | { ok: false; problem: unknown }>): Promise<T> {
	const settled = await answer;
	if (!settled.ok) throw new Error(JSON.stringify(settled.problem));
	return settled.value;
}

describe('crc32(bytes)', () => {
	// Source: the check value every CRC catalogue gives for CRC-32 (IEEE 802.3); basis: from memory, widely published.
	it('crc32("123456789") is the published check value 0xCBF43926', () => {
		expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
		expect(crc32(new Uint8Array())).toBe(0);
	});
});

describe.each([
	['memory', memoryDevice],
	['IndexedDB', browserDevice],
])('local store in %s', (_name, device) => {
	it('[DEV-1] addEntries keeps every entry of a record and gives the same text back, to another page too', async () => {
		const pages = device();
		const first = pages.store();
		expect((await value(first.addEntries('r1', [entry(1), entry(2)]))).added).toEqual(['hash-1', 'hash-2']);
		await value(first.addEntries('r2', [entry(3)]));
		const loaded = await value(pages.store().loadEntries('r1'));
		expect(loaded.damaged).toEqual([]);
		expect([...loaded.entries].sort((a, b) => (a.hash < b.hash ? -1 : 1))).toEqual([entry(1), entry(2)]);
	});

	it('[DEV-1] addEntries leaves an entry that is there untouched and still adds the others of the batch', async () => {
		const pages = device();
		await value(pages.store().addEntries('r1', [entry(1)]));
		const other = pages.store();
		const again = await value(other.addEntries('r1', [{ hash: 'hash-1', text: 'changed' }, entry(2)]));
		expect(again.added).toEqual(['hash-2']);
		const loaded = await value(other.loadEntries('r1'));
		expect(loaded.entries.find((e) => e.hash === 'hash-1')?.text).toBe(entry(1).text);
		expect(loaded.entries).toHaveLength(2);
	});

	it('[DEV-4] a row that was altered on the disk is kept apart, the rest loads, and the entry can be kept again', async () => {
		const pages = device();
		const store = pages.store();
		await value(store.addEntries('r1', [entry(1), entry(2), entry(3)]));
		await pages.damage('hash-2');
		const loaded = await value(store.loadEntries('r1'));
		expect(loaded.damaged).toEqual([{ key: 'hash-2', reason: 'checksum' }]);
		expect(loaded.entries.map((e) => e.hash).sort()).toEqual(['hash-1', 'hash-3']);
		expect((await value(store.addEntries('r1', [entry(2)]))).added).toEqual(['hash-2']);
		const healed = await value(store.loadEntries('r1'));
		expect(healed.damaged).toEqual([]);
		expect(healed.entries).toHaveLength(3);
	});

	it('addBlob, blob, blobHashes give the bytes back by record and hash, and null for what is not here', async () => {
		const store = device().store();
		await value(store.addBlob('r1', 'b1', Uint8Array.of(1, 2, 3)));
		expect(await value(store.blob('r1', 'b1'))).toEqual(Uint8Array.of(1, 2, 3));
		expect(await value(store.blob('r2', 'b1'))).toBeNull();
		expect(await value(store.blob('r1', 'b2'))).toBeNull();
		expect(await value(store.blobHashes('r1'))).toEqual(['b1']);
	});

	it('put, all, remove keep records, pens and pending invites by key', async () => {
		const store = device().store();
		const invite = { key: 'i1', secret: 's', hostName: 'h', savedAtMs: 1 };
		await value(store.put('invites', invite));
		await value(store.put('invites', { ...invite, savedAtMs: 2 }));
		await value(store.put('pens', { key: 'p1', pen: { any: 'thing' } }));
		expect(await value(store.all('invites'))).toEqual([{ ...invite, savedAtMs: 2 }]);
		await value(store.remove('invites', 'i1'));
		expect(await value(store.all('invites'))).toEqual([]);
		expect(await value(store.all('pens'))).toEqual([{ key: 'p1', pen: { any: 'thing' } }]);
	});

	it('a closed store answers store-closed and never rejects', async () => {
		const store = device().store();
		await value(store.addEntries('r1', [entry(1)]));
		store.close();
		expect(await store.addEntries('r1', [entry(2)])).toMatchObject({ ok: false, problem: { code: 'store-closed' } });
	});
});

describe('indexedDbStore(factory)', () => {
	/** Notes every transaction that the store begins, and lets a test break the handle. */
	function watched() {
		const { factory } = browserDevice();
		const seen: { mode: string | undefined; durability: string | undefined }[] = [];
		const handles: IDBDatabase[] = [];
		const open = factory.open.bind(factory);
		factory.open = (name, version) => {
			const request = open(name, version);
			request.addEventListener('success', () => {
				const db = request.result as unknown as IDBDatabase;
				handles.push(db);
				const begin = db.transaction.bind(db);
				db.transaction = (tables, mode, options) => {
					seen.push({ mode, durability: options?.durability });
					return begin(tables, mode, options);
				};
			});
			return request;
		};
		return { factory, seen, handles };
	}

	it('[DEV-1] every transaction that writes asks for strict durability', async () => {
		const { factory, seen } = watched();
		const store = indexedDbStore(factory);
		await value(store.addEntries('r1', [entry(1)]));
		await value(store.addBlob('r1', 'b', Uint8Array.of(1)));
		await value(store.put('pens', { key: 'p', pen: 1 }));
		await value(store.remove('pens', 'p'));
		await value(store.loadEntries('r1'));
		const writing = seen.filter((tx) => tx.mode === 'readwrite');
		expect(writing).toHaveLength(4);
		for (const tx of writing) expect(tx.durability).toBe('strict');
	});

	it('[DEV-1] addEntries answers only after the transaction is complete', async () => {
		const { factory, handles } = watched();
		const store = indexedDbStore(factory);
		await value(store.loadEntries('r1'));
		const db = handles[0];
		if (!db) throw new Error('not opened');
		const order: string[] = [];
		const begin = db.transaction;
		db.transaction = (tables, mode, options) => {
			const tx = begin(tables, mode, options);
			tx.addEventListener('complete', () => order.push('complete'));
			return tx;
		};
		await value(store.addEntries('r1', [entry(1)]));
		order.push('answered');
		expect(order).toEqual(['complete', 'answered']);
	});

	it('[DEV-5] opens again after the browser closed the database under it, with and without an event', async () => {
		const { factory, handles } = watched();
		const store = indexedDbStore(factory);
		await value(store.addEntries('r1', [entry(1)]));
		handles[0]?.close();
		await value(store.addEntries('r1', [entry(2)]));
		expect(handles).toHaveLength(2);
		handles[1]?.onclose?.call(handles[1], new Event('close'));
		await value(store.addEntries('r1', [entry(3)]));
		expect(handles).toHaveLength(3);
		expect((await value(store.loadEntries('r1'))).entries).toHaveLength(3);
	});

	it('answers store-full when the disk is full, and the entry is then not there', async () => {
		const { factory, handles } = watched();
		const store = indexedDbStore(factory);
		await value(store.addEntries('r1', [entry(1)]));
		const db = handles[0];
		if (!db) throw new Error('not opened');
		const begin = db.transaction;
		db.transaction = (tables, mode, options) => {
			const tx = begin(tables, mode, options);
			if (mode === 'readwrite') {
				Object.defineProperty(tx, 'error', { value: new DOMException('full', 'QuotaExceededError') });
				queueMicrotask(() => tx.abort());
			}
			return tx;
		};
		expect(await store.addEntries('r1', [entry(2)])).toEqual({
			ok: false,
			problem: { code: 'store-full', found: 'QuotaExceededError' },
		});
		expect((await value(store.loadEntries('r1'))).entries).toHaveLength(1);
	});
});

describe('memoryStore(disk, faults)', () => {
	it('a failing transaction leaves nothing behind, one that never settles either', async () => {
		const disk = memoryDisk();
		let count = 0;
		const failingSecond = memoryStore(disk, {
			failing: () => (++count === 2 ? { code: 'store-failed' } : null),
			settle: () => Promise.resolve(),
		});
		await value(failingSecond.addEntries('r1', [entry(1)]));
		expect(await failingSecond.addEntries('r1', [entry(2), entry(3)])).toMatchObject({ ok: false });
		await value(failingSecond.addEntries('r1', [entry(4)]));
		void memoryStore(disk, { failing: () => null, settle: () => new Promise(() => undefined) }).addEntries('r1', [
			entry(5),
		]);
		const loaded = await value(memoryStore(disk).loadEntries('r1'));
		expect(loaded.entries.map((e) => e.hash)).toEqual(['hash-1', 'hash-4']);
	});
});
