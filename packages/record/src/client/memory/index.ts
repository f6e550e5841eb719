import { fail, ok, type Result } from '@stillmast/core/result';
import {
	blobRow,
	type DamagedRow,
	type EntryRow,
	type EntryText,
	entryRow,
	type LocalStore,
	readEntryRow,
	readRow,
	type Shelf,
	type ShelfRows,
	type StoreProblem,
} from '../store/index.js';

/** What survives a crash: rows of transactions that completed. Several stores (tabs) may share one. */
export interface MemoryDisk {
	readonly entries: Map<string, EntryRow>;
	readonly blobs: Map<string, EntryRow>;
	readonly damaged: EntryRow[];
	readonly shelves: { readonly [K in Shelf]: Map<string, ShelfRows[K]> };
}

export function memoryDisk(): MemoryDisk {
	return {
		entries: new Map(),
		blobs: new Map(),
		damaged: [],
		shelves: { records: new Map(), pens: new Map(), invites: new Map() },
	};
}

/** Decides the fate of one transaction; the n-th call is the n-th transaction of this store. */
export interface DiskFaults {
	/** A problem makes this transaction fail as a whole; `null` lets it through. */
	readonly failing: (mode: 'readonly' | 'readwrite') => StoreProblem | null;
	/** Resolves when the disk is done; until then nothing is on the disk. A crash is one that never resolves. */
	readonly settle: () => Promise<void>;
}

const NO_FAULTS: DiskFaults = { failing: () => null, settle: () => Promise.resolve() };

const rowKey = (record: string, hash: string) => `${record}/${hash}`;

/**
 * Store in memory with the behaviour of the browser's: all of a transaction or nothing, durable only once it
 * answered. For tests, for the simulation, and where a browser gives no storage at all.
 */
export function memoryStore(disk: MemoryDisk = memoryDisk(), faults: DiskFaults = NO_FAULTS): LocalStore {
	let closed = false;
	let before: Promise<unknown> = Promise.resolve();

	/** Transactions come to their end in the order in which they were begun, as those of a browser on one table do. */
	const run = async <T>(mode: 'readonly' | 'readwrite', body: () => T): Promise<Result<T, StoreProblem>> => {
		if (closed) return fail({ code: 'store-closed' });
		const problem = faults.failing(mode);
		const done = before.then(() => faults.settle());
		before = done;
		await done;
		if (problem) return fail(problem);
		return ok(body());
	};

	const rowsOf = (table: ReadonlyMap<string, EntryRow>, record: string) =>
		[...table].filter(([, row]) => row.record === record);

	return {
		addEntries: (record, entries) =>
			run('readwrite', () => {
				const added: string[] = [];
				for (const entry of entries) {
					const key = rowKey(record, entry.hash);
					if (disk.entries.has(key)) continue;
					disk.entries.set(key, entryRow(record, entry));
					added.push(entry.hash);
				}
				return { added };
			}),
		loadEntries: (record) =>
			run('readonly', () => {
				const entries: EntryText[] = [];
				const damaged: DamagedRow[] = [];
				for (const [key, row] of rowsOf(disk.entries, record)) {
					const entry = readEntryRow(row);
					if (typeof entry !== 'string') {
						entries.push(entry);
						continue;
					}
					damaged.push({ key: row.hash, reason: entry });
					disk.damaged.push(row);
					disk.entries.delete(key);
				}
				return { entries, damaged };
			}),
		addBlob: (record, hash, bytes) =>
			run('readwrite', () => {
				disk.blobs.set(rowKey(record, hash), blobRow(record, hash, bytes));
			}),
		blob: (record, hash) =>
			run('readonly', () => {
				const bytes = readRow(disk.blobs.get(rowKey(record, hash)));
				return typeof bytes === 'string' ? null : bytes;
			}),
		blobHashes: (record) => run('readonly', () => rowsOf(disk.blobs, record).map(([, row]) => row.hash)),
		put: (shelf, row) =>
			run('readwrite', () => {
				(disk.shelves[shelf] as Map<string, typeof row>).set(row.key, row);
			}),
		all: <K extends Shelf>(shelf: K) =>
			run('readonly', () => [...(disk.shelves[shelf] as Map<string, ShelfRows[K]>).values()]),
		remove: (shelf, key) =>
			run('readwrite', () => {
				disk.shelves[shelf].delete(key);
			}),
		// nobody can take it away but the page's own end
		onEmptied: () => () => undefined,
		close: () => {
			closed = true;
		},
	};
}
