import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { blobHashesOf } from '../../file/blob-hashes.js';
import { type Exported, exportRecord } from '../../file/export-record.js';
import { type ImportProblem, importRecord } from '../../file/import-record.js';
import { fold } from '../../fold/fold.js';
import { canonicalJson } from '../../hash/canonical-json.js';
import { EntrySet } from '../../set/entry-set.js';
import type { RecordRow, StoreProblem } from '../store/index.js';
import type { ClientPorts, Session } from './types.js';

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
 * Keeps what a record file holds on this device, whether the record is here already or not: from then on it stands among
 * the device's records, and the next session on it brings it to the host. Resolves when the disk has it.
 */
export async function keepFile(
	ports: Pick<ClientPorts, 'store' | 'clock' | 'network'>,
	file: string | Uint8Array,
): Promise<Result<Carried, CarryProblem>> {
	const read = await importRecord(file, null);
	if (!read.ok) return read;
	const { store } = ports;
	const { record, fresh, unproved, blobs } = read.value;
	for (const [hash, bytes] of blobs) {
		const kept = await store.addBlob(record, hash, bytes);
		if (!kept.ok) return kept;
	}
	const texts = fresh.map((entry) => ({ hash: entry.hash, text: canonicalJson(entry) }));
	const added = await store.addEntries(record, texts);
	if (!added.ok) return added;
	const listed = await listRecord(ports, record, fresh);
	if (!listed.ok) return listed;
	const isNew = new Set(added.value.added);
	const from = new Map<string, number>();
	for (const { hash, by } of fresh) {
		if (isNew.has(hash)) from.set(by, (from.get(by) ?? 0) + 1);
	}
	return ok({ record, added: isNew.size, from, unproved: unproved.length });
}

/** The row by which the device knows of the record; one that is there stays as it is. */
async function listRecord(
	{ store, clock, network }: Pick<ClientPorts, 'store' | 'clock' | 'network'>,
	record: string,
	entries: readonly Entry[],
): Promise<Result<void, StoreProblem>> {
	const rows = await store.all('records');
	if (!rows.ok) return rows;
	if (rows.value.some(({ key }) => key === record)) return ok(undefined);
	const pens = await store.all('pens');
	if (!pens.ok) return pens;
	const own = new Set(pens.value.map(({ key }) => key));
	const people = [...fold(new EntrySet(record, entries)).people.values()];
	const me = people.find(({ publicKey, revokedBy }) => own.has(publicKey) && revokedBy.length === 0);
	const row: RecordRow = {
		key: record,
		hostName: network?.hostName ?? null,
		hostKey: people.find(({ role }) => role === 'host')?.publicKey ?? null,
		// Nobody of this device writes in it yet: it can be read, exported and carried on.
		penKey: me?.publicKey ?? '',
		role: me?.role ?? 'reviewer',
		name: me?.name ?? '',
		openedAtMs: clock.nowMs(),
		storedHeads: [],
		lastContactMs: null,
	};
	return store.put('records', row);
}
