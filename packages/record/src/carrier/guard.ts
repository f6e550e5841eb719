import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { type AdmitProblem, admitEntry } from '../hash/hash-entry.js';
import { readUpdate, type UpdateProblem } from './update.js';

/** `key-differs`: the value stands under a key that is not its hash. */
export type GuardProblem = UpdateProblem | AdmitProblem | (Problem & { readonly code: 'key-differs' | 'foreign' });

/**
 * What may enter a record: an update (V1) that only sets new keys of `entries`, each to a plain JSON entry with a sound
 * envelope, of this record, under its own hash, and deletes nothing. A pure function of the bytes; whether the entries
 * are *proved* is asked afterwards (`prove`), and nothing else is a reason to refuse. @rule REC-20
 */
export function guardUpdate(
	update: Uint8Array,
	record: string,
): Result<{ readonly entries: readonly Entry[] }, GuardProblem> {
	const read = readUpdate(update);
	if (!read.ok) return read;
	if (read.value.deletes > 0) return fail({ code: 'deletes', found: read.value.deletes, needed: 0 });
	const entries: Entry[] = [];
	for (const [i, { key, value }] of read.value.items.entries()) {
		const admitted = admitEntry(value);
		if (!admitted.ok)
			return fail({ ...admitted.problem, path: `$.entries[${i}]${admitted.problem.path?.slice(1) ?? ''}` });
		const { hash, record: of } = admitted.value;
		const path = `$.entries[${i}]`;
		if (key !== hash) return fail({ code: 'key-differs', path, found: key.slice(0, 50), needed: hash });
		if ((of ?? hash) !== record) return fail({ code: 'foreign', path, found: of, needed: record });
		entries.push(admitted.value);
	}
	return ok({ entries });
}
