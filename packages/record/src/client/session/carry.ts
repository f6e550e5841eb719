import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { blobHashesOf } from '../../file/blob-hashes.js';
import { type Exported, exportRecord } from '../../file/export-record.js';
import { type ImportProblem, importRecord } from '../../file/import-record.js';
import { canonicalJson } from '../../hash/canonical-json.js';
import type { LocalStore, StoreProblem } from '../store/index.js';
import type { Session } from './types.js';

/** The record file of what this page has; blobs that neither device nor host has are named in `missingBlobs`. */
export async function exportSession(session: Session): Promise<Exported> {
	const blobs = new Map<string, Uint8Array>();
	for (const hash of new Set(session.entries.inOrder().flatMap(blobHashesOf))) {
		const bytes = await session.blob(hash);
		if (bytes) blobs.set(hash, bytes);
	}
	return exportRecord(session.entries, (hash) => blobs.get(hash));
}

export interface Carried {
	readonly record: string;
	/** Entries that were not here. */
	readonly added: number;
	/** How many of them by each key (fingerprint). */
	readonly from: ReadonlyMap<string, number>;
	/** Entries of the file that no signature proves: left out. */
	readonly unproved: number;
}

export type CarryProblem = ImportProblem | StoreProblem | Problem;

/** Adds what a record file holds to an open record of the same id, as if it came from the host. */
export async function takeFile(session: Session, file: string | Uint8Array): Promise<Result<Carried, CarryProblem>> {
	const read = await importRecord(file, session.entries);
	if (!read.ok) return read;
	const { record, fresh, from, unproved, blobs } = read.value;
	for (const bytes of blobs.values()) {
		const put = await session.putBlob(bytes);
		if (!put.ok) return fail(put.problem);
	}
	const { added } = await session.take(fresh);
	await session.settled();
	return ok({ record, added, from, unproved: unproved.length });
}

/**
 * Keeps what a record file holds on this device, whether the record is here already or not; the next session on it
 * brings it to the host. Resolves when the disk has it.
 */
export async function keepFile(store: LocalStore, file: string | Uint8Array): Promise<Result<Carried, CarryProblem>> {
	const read = await importRecord(file, null);
	if (!read.ok) return read;
	const { record, fresh, unproved, blobs } = read.value;
	for (const [hash, bytes] of blobs) {
		const kept = await store.addBlob(record, hash, bytes);
		if (!kept.ok) return kept;
	}
	const texts = fresh.map((entry) => ({ hash: entry.hash, text: canonicalJson(entry) }));
	const added = await store.addEntries(record, texts);
	if (!added.ok) return added;
	const isNew = new Set(added.value.added);
	const from = new Map<string, number>();
	for (const { hash, by } of fresh) {
		if (isNew.has(hash)) from.set(by, (from.get(by) ?? 0) + 1);
	}
	return ok({ record, added: isNew.size, from, unproved: unproved.length });
}
