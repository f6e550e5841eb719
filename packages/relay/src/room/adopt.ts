import type { Problem } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import type { Imported } from '@stillmast/record/file';
import { findUnproved } from './guard.js';
import type { Hall } from './hall.js';

export type AdoptProblem = Problem & {
	readonly code: 'no-opened-entry' | 'signature-wrong' | 'key-unknown' | 'store-trouble';
};

/**
 * Takes admitted entries of one record into the record kept here, founding it when it is new; those that are here
 * already stay as they are. Resolves when all are kept.
 * @returns null, or why nothing was taken
 */
export async function adoptEntries(
	hall: Hall,
	record: string,
	entries: readonly Entry[],
): Promise<AdoptProblem | null> {
	const room = await hall.room(record);
	if (!room && !entries.some((entry) => entry.hash === record)) return { code: 'no-opened-entry', needed: record };
	const unproved = await findUnproved(record, entries, (by) => room?.entries.verifyingKeyOf(by));
	if (unproved) return unproved;
	return (await hall.found(record, entries)) ? null : { code: 'store-trouble' };
}

/** The same for a record file that was read and proved, its blobs included. */
export async function adoptFile(hall: Hall, file: Imported): Promise<AdoptProblem | null> {
	const first = file.unproved[0];
	if (first) return { code: first.reason, found: first.hash };
	const room = await hall.found(file.record, file.fresh);
	if (!room) return { code: 'store-trouble' };
	for (const [hash, bytes] of file.blobs) {
		if (!(await room.keepBlob(hash, bytes))) return { code: 'store-trouble' };
	}
	return null;
}
