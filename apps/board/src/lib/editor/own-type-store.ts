import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { OwnType } from './own-type.js';

interface OwnTypes extends DBSchema {
	readonly types: { readonly key: string; readonly value: OwnType };
}

/** Type data of one's own on this device; apart from the records, which rest on copies of it by their hash. */
export interface OwnTypeStore {
	readonly all: () => Promise<Result<readonly OwnType[], Problem>>;
	readonly put: (...rows: readonly OwnType[]) => Promise<Result<void, Problem>>;
	readonly remove: (key: string) => Promise<Result<void, Problem>>;
}

/** Nothing is opened before the first call. Problems: `store-full`, `store-failed`. */
export function ownTypeStore(name = 'stillmast-own-types'): OwnTypeStore {
	let opened: Promise<IDBPDatabase<OwnTypes>> | null = null;
	const database = () => {
		opened ??= openDB<OwnTypes>(name, 1, {
			upgrade: (db) => {
				db.createObjectStore('types', { keyPath: 'key' });
			},
			terminated: () => {
				opened = null;
			},
		}).catch((error: unknown) => {
			opened = null;
			throw error;
		});
		return opened;
	};
	const run = async <T>(work: (db: IDBPDatabase<OwnTypes>) => Promise<T>): Promise<Result<T, Problem>> => {
		try {
			return ok(await work(await database()));
		} catch (error) {
			const found = error instanceof Error ? error.name : String(error);
			return fail({ code: found === 'QuotaExceededError' ? 'store-full' : 'store-failed', found });
		}
	};
	return {
		all: () => run((db) => db.getAll('types')),
		put: (...rows) =>
			run(async (db) => {
				const tx = db.transaction('types', 'readwrite', { durability: 'strict' });
				await Promise.all([...rows.map((row) => tx.store.put(row)), tx.done]);
			}),
		remove: (key) => run((db) => db.delete('types', key)),
	};
}
