import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { prove, type Unproved } from '../proof/prove.js';
import { EntrySet } from '../set/entry-set.js';
import { type FileFault, readRecordFile } from './read-record-file.js';

export interface Imported {
	readonly record: string;
	/** Proved entries that were not here, in total order: to be kept and added by hash. */
	readonly fresh: readonly Entry[];
	/** How many of them by each key. */
	readonly from: ReadonlyMap<string, number>;
	/** Entries that could not be proved: not taken. */
	readonly unproved: readonly Unproved[];
	/** Sound blobs of the file, wanted or not. */
	readonly blobs: ReadonlyMap<string, Uint8Array>;
	/** A set of what was here and what is fresh. */
	readonly set: EntrySet;
}

/** `file-unsound`: its first fault. `other-record`: the file is about another record than the one it is brought to. */
export type ImportProblem =
	| (Problem & { readonly code: 'file-unsound'; readonly fault: FileFault })
	| (Problem & { readonly code: 'other-record' });

/** Faults that do not put in doubt what can be read: a carry file may lack blobs that others have. */
const BEARABLE: readonly FileFault['code'][] = ['blob-missing'];

/**
 * Reads a record file to add it to what is here. Anybody who may write may carry, whoever made the entries, since
 * they prove themselves. Changes nothing by itself. @rule REC-83
 * @param here the entries known already; null for a record that is new here
 */
export async function importRecord(
	file: string | Uint8Array,
	here: EntrySet | null,
): Promise<Result<Imported, ImportProblem>> {
	const read = readRecordFile(file);
	const fault = read.faults.find(({ code }) => !BEARABLE.includes(code));
	if (fault !== undefined) return fail({ code: 'file-unsound', fault });
	// Without a fault the file names its record.
	const record = read.record ?? '';
	if (here !== null && here.record !== record)
		return fail({ code: 'other-record', found: record, needed: here.record });
	const joined = new EntrySet(record, [...(here?.inOrder() ?? []), ...read.entries]);
	const unknown = read.entries.filter(({ hash }) => here?.has(hash) !== true);
	const { proved, unproved } = await prove(joined, { only: unknown });
	const fresh = unknown.filter(({ hash }) => proved.has(hash));
	const from = new Map<string, number>();
	for (const { by } of fresh) from.set(by, (from.get(by) ?? 0) + 1);
	const set = new EntrySet(record, [...(here?.inOrder() ?? []), ...fresh]);
	return ok({ record, fresh, from, unproved, blobs: read.blobs, set });
}
