import { fail, ok, type Result } from '@stillmast/core/result';
import type { StoreProblem } from '../store/index.js';

export const TABLES = { entries: 'entries', blobs: 'blobs', damaged: 'damaged' } as const;
const SHELVES = ['records', 'pens', 'invites'] as const;
const VERSION = 1;

function upgrade(db: IDBDatabase): void {
	db.createObjectStore(TABLES.entries, { keyPath: ['record', 'hash'] });
	db.createObjectStore(TABLES.blobs, { keyPath: ['record', 'hash'] });
	db.createObjectStore(TABLES.damaged, { autoIncrement: true });
	for (const shelf of SHELVES) db.createObjectStore(shelf, { keyPath: 'key' });
}

/** Sorts what IndexedDB throws into what the crew can act on. */
export function storeProblem(error: unknown): StoreProblem {
	const name = error instanceof Error || error instanceof DOMException ? error.name : String(error);
	if (name === 'QuotaExceededError') return { code: 'store-full', found: name };
	if (name === 'InvalidStateError') return { code: 'store-closed', found: name };
	return { code: 'store-failed', found: name };
}

/** One database handle that opens itself, and opens again after the browser took it away. */
export interface Connection {
	/**
	 * Runs `body` in one transaction and answers on its `complete`, not before.
	 * Writing is always strict: browsers otherwise report `complete` before the disk has it.
	 */
	readonly run: <T>(
		mode: 'readonly' | 'readwrite',
		tables: readonly string[],
		body: (tx: IDBTransaction) => { readonly answer: () => T },
	) => Promise<Result<T, StoreProblem>>;
	readonly close: () => void;
}

/** @param onEmptied the database was deleted behind the page's back: a new, empty one has taken its place */
export function openConnection(factory: IDBFactory, name: string, onEmptied: () => void): Connection {
	let opening: Promise<IDBDatabase> | null = null;
	let wasOpen = false;
	let closed = false;

	const forget = (db: IDBDatabase) => {
		opening = null;
		db.close();
	};

	/** Taken away from outside: looks at once whether what was in it is still there, not only at the next write. */
	const lose = (db: IDBDatabase) => {
		forget(db);
		if (!closed) void open().catch(() => undefined);
	};

	const open = (): Promise<IDBDatabase> => {
		opening ??= new Promise<IDBDatabase>((resolve, reject) => {
			const request = factory.open(name, VERSION);
			let created = false;
			request.onupgradeneeded = () => {
				created = true;
				upgrade(request.result);
			};
			let abandoned = false;
			request.onblocked = () => {
				abandoned = true;
				reject(Object.assign(new Error('blocked'), { name: 'blocked' }));
			};
			request.onerror = () => reject(request.error);
			request.onsuccess = () => {
				const db = request.result;
				// the browser may close it under us (storage cleared, disk trouble); a newer page asks for it by versionchange
				db.onclose = () => lose(db);
				db.onversionchange = () => lose(db);
				if (closed || abandoned) db.close();
				resolve(db);
				if (created && wasOpen) onEmptied();
				wasOpen = true;
			};
		}).catch((error: unknown) => {
			opening = null;
			throw error;
		});
		return opening;
	};

	const once = <T>(
		db: IDBDatabase,
		mode: 'readonly' | 'readwrite',
		tables: readonly string[],
		body: (tx: IDBTransaction) => { readonly answer: () => T },
	): Promise<Result<T, StoreProblem>> =>
		new Promise((resolve) => {
			const tx = db.transaction([...tables], mode, { durability: mode === 'readwrite' ? 'strict' : 'default' });
			tx.onabort = () => resolve(fail(storeProblem(tx.error)));
			const { answer } = body(tx);
			tx.oncomplete = () => resolve(ok(answer()));
		});

	return {
		run: async (mode, tables, body) => {
			for (let attempt = 1; ; attempt++) {
				if (closed) return fail({ code: 'store-closed' });
				let db: IDBDatabase | null = null;
				try {
					db = await open();
					return await once(db, mode, tables, body);
				} catch (error) {
					if (error instanceof Error && error.name === 'blocked') return fail({ code: 'store-blocked' });
					const problem = storeProblem(error);
					// a handle that died without a `close` event shows itself only here: open a new one, once
					if (db) forget(db);
					if (problem.code !== 'store-closed' || attempt === 2) return fail(problem);
				}
			}
		},
		close: () => {
			closed = true;
			void opening?.then(forget, () => undefined);
		},
	};
}
