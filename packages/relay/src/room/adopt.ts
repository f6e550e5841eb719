import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { EntrySet } from '@stillmast/record/set';
import { firstUnproved } from './guard.js';
import type { Hall } from './hall.js';
import type { Room } from './room.js';

/** `no-opened-entry` · `signature-wrong` · `key-unknown` · `store-trouble` */
export type AdoptProblem = Problem & {
	readonly code: 'no-opened-entry' | 'signature-wrong' | 'key-unknown' | 'store-trouble';
};

/**
 * Takes admitted entries of one record into the record kept here, founding it when it is new; those that are here
 * already stay as they are. Resolves when all are kept.
 */
export async function adoptEntries(
	hall: Hall,
	record: string,
	entries: readonly Entry[],
): Promise<Result<Room, AdoptProblem>> {
	const room = await hall.room(record);
	if (!room && !entries.some((entry) => entry.hash === record))
		return fail({ code: 'no-opened-entry', needed: record });
	const unproved = await firstUnproved(room?.entries ?? new EntrySet(record), entries);
	if (unproved) return fail({ code: unproved.reason, found: unproved.hash });
	const kept = await hall.found(record, entries);
	return kept ? ok(kept) : fail({ code: 'store-trouble' });
}
