import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { guardUpdate, type GuardProblem as UpdateShapeProblem } from '@stillmast/record/carrier';
import type { VerifyingKey } from '@stillmast/record/pen';
import { prove } from '@stillmast/record/proof';
import { EntrySet } from '@stillmast/record/set';

/**
 * Why an update may not enter. `signature-wrong`: nobody who holds the key wrote this. `key-unknown`: the entry that
 * names the key is neither here nor in the update, so nothing can be proved yet.
 */
export type GuardProblem =
	| UpdateShapeProblem
	| (Problem & { readonly code: 'signature-wrong' | 'key-unknown'; readonly found: string });

export interface Judged {
	/** Every entry in the update, proved, those known before included. */
	readonly entries: readonly Entry[];
}

/** Judges one update against the entries that are here; changes nothing. */
export interface UpdateGuard {
	judge(update: Uint8Array, known: EntrySet): Promise<Result<Judged, GuardProblem>>;
}

/** @rule RLY-20 */
export async function judgeUpdate(update: Uint8Array, known: EntrySet): Promise<Result<Judged, GuardProblem>> {
	const guarded = guardUpdate(update, known.record);
	if (!guarded.ok) return guarded;
	const { entries } = guarded.value;
	// An entry that is here already was proved when it came, and its hash is its name.
	const unproved = await firstUnproved(
		known,
		entries.filter((entry) => !known.has(entry.hash)),
	);
	return unproved ? fail({ code: unproved.reason, found: unproved.hash }) : ok({ entries });
}

/** Entries of a file or an update, before they are taken in: may they be, with what is known here? */
export async function firstUnproved(known: EntrySet, fresh: readonly Entry[]) {
	if (fresh.length === 0) return undefined;
	const { unproved } = await prove(new Candidates(known, fresh), { only: fresh });
	return unproved[0];
}

/** The fresh entries by themselves, able to look up keys that the known ones name. */
class Candidates extends EntrySet {
	readonly #known: EntrySet;

	constructor(known: EntrySet, fresh: Iterable<Entry>) {
		super(known.record, fresh);
		this.#known = known;
	}

	override verifyingKeyOf(by: string): Promise<VerifyingKey> | undefined {
		return this.#known.verifyingKeyOf(by) ?? super.verifyingKeyOf(by);
	}
}
