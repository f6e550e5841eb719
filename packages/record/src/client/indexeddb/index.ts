import { ok } from '@stillmast/core/result';
import { listeners } from '../listeners.js';
import {
	blobRow,
	type DamagedRow,
	type EntryText,
	entryRow,
	type LocalStore,
	readEntryRow,
	readRow,
	rowName,
	type ShelfRows,
} from '../store/index.js';
import { openConnection, TABLES } from './connection.js';

/** Rows of one record: keys are [record, hash], and an array sorts after every string. */
function rowsOf(record: string): IDBKeyRange {
	return IDBKeyRange.bound([record], [record, []]);
}

/**
 * Local store of a browser. Nothing is opened before the first call; the database opens again by itself when the
 * browser closed it.
 * @param name database name; one per origin is enough, tests use their own
 */
export function indexedDbStore(factory: IDBFactory = indexedDB, name = 'stillmast'): LocalStore {
	const emptied = listeners<void>();
	const connection = openConnection(factory, name, () => emptied.tell());

	const setAside = async (record: string, keys: readonly IDBValidKey[]) => {
		// failing here loses nothing: the rows stay where they are and are met again at the next load
		await connection.run('readwrite', [TABLES.entries, TABLES.damaged], (tx) => {
			for (const key of keys) {
				const request = tx.objectStore(TABLES.entries).get(key);
				request.onsuccess = () => {
					// another page may have moved it and kept the entry anew since we looked
					if (request.result === undefined || typeof readEntryRow(request.result) !== 'string') return;
					tx.objectStore(TABLES.damaged).add({ record, row: request.result });
					tx.objectStore(TABLES.entries).delete(key);
				};
			}
			return { answer: () => undefined };
		});
	};

	return {
		addEntries: (record, entries) =>
			connection.run('readwrite', [TABLES.entries], (tx) => {
				const added: string[] = [];
				for (const entry of entries) {
					const request = tx.objectStore(TABLES.entries).add(entryRow(record, entry));
					request.onsuccess = () => added.push(entry.hash);
					request.onerror = (event) => {
						// another page kept the same entry first; without this the whole transaction would be undone
						if (request.error?.name === 'ConstraintError') event.preventDefault();
					};
				}
				return { answer: () => ({ added }) };
			}),

		loadEntries: async (record) => {
			const read = await connection.run('readonly', [TABLES.entries], (tx) => {
				const rows = tx.objectStore(TABLES.entries).getAll(rowsOf(record));
				const keys = tx.objectStore(TABLES.entries).getAllKeys(rowsOf(record));
				return { answer: () => ({ rows: rows.result as readonly unknown[], keys: keys.result }) };
			});
			if (!read.ok) return read;
			const entries: EntryText[] = [];
			const damaged: DamagedRow[] = [];
			const aside: IDBValidKey[] = [];
			read.value.rows.forEach((row, index) => {
				const entry = readEntryRow(row);
				if (typeof entry !== 'string') {
					entries.push(entry);
					return;
				}
				damaged.push({ key: rowName(row), reason: entry });
				const key = read.value.keys[index];
				if (key !== undefined) aside.push(key);
			});
			if (aside.length > 0) await setAside(record, aside);
			return ok({ entries, damaged });
		},

		addBlob: (record, hash, bytes) =>
			connection.run('readwrite', [TABLES.blobs], (tx) => {
				// content-addressed: writing it again also heals a damaged row
				tx.objectStore(TABLES.blobs).put(blobRow(record, hash, bytes));
				return { answer: () => undefined };
			}),

		blob: (record, hash) =>
			connection.run('readonly', [TABLES.blobs], (tx) => {
				const request = tx.objectStore(TABLES.blobs).get([record, hash]);
				return {
					answer: () => {
						const bytes = readRow(request.result);
						return typeof bytes === 'string' ? null : bytes;
					},
				};
			}),

		blobHashes: (record) =>
			connection.run('readonly', [TABLES.blobs], (tx) => {
				const request = tx.objectStore(TABLES.blobs).getAllKeys(rowsOf(record));
				return { answer: () => request.result.map((key) => String((key as readonly unknown[])[1])) };
			}),

		put: (shelf, row) =>
			connection.run('readwrite', [shelf], (tx) => {
				tx.objectStore(shelf).put(row);
				return { answer: () => undefined };
			}),

		all: <K extends keyof ShelfRows>(shelf: K) =>
			connection.run('readonly', [shelf], (tx) => {
				const request = tx.objectStore(shelf).getAll();
				return { answer: () => request.result as readonly ShelfRows[K][] };
			}),

		remove: (shelf, key) =>
			connection.run('readwrite', [shelf], (tx) => {
				tx.objectStore(shelf).delete(key);
				return { answer: () => undefined };
			}),

		onEmptied: emptied.add,
		close: connection.close,
	};
}
