import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { guardUpdate, type GuardProblem as UpdateShapeProblem } from '@stillmast/record/carrier';
import { canonicalJson } from '@stillmast/record/hash';
import type { VerifyingKey } from '@stillmast/record/pen';
import { prove } from '@stillmast/record/proof';
import { EntrySet } from '@stillmast/record/set';

/**
 * Why an update may not enter. `signature-wrong`: nobody who holds the key wrote this. `key-unknown`: the entries that
 * name these keys are neither here nor in the update, so nothing can be proved yet. `too-slow`: judging it took longer
 * than any sound update takes, or the host is overloaded: it may come again.
 */
export type GuardProblem =
	| UpdateShapeProblem
	| (Problem & { readonly code: 'signature-wrong'; readonly found: string })
	| (Problem & { readonly code: 'key-unknown'; readonly found: readonly string[] })
	| (Problem & { readonly code: 'too-slow' });

export interface Judged {
	/** Every entry in the update, proved, those known before included. */
	readonly entries: readonly Entry[];
	/** The RFC 8785 form of each, with hash and signature: what rows keep. */
	readonly texts: readonly string[];
}

export type Verdict = Result<Judged, GuardProblem>;

/** Judges one update against the entries that are here; changes nothing. */
export interface UpdateGuard {
	judge(update: Uint8Array, known: EntrySet): Promise<Result<Judged, GuardProblem>>;
	/** Ends what it keeps running. */
	stop(): Promise<void>;
}

/** Keys that are known already, by fingerprint. */
export type KeyLookup = (by: string) => Promise<VerifyingKey> | undefined;

/** Shape, place, hash and proof of everything in an update. @rule RLY-20 */
export async function judgeUpdate(
	update: Uint8Array,
	record: string,
	keyOf: KeyLookup,
): Promise<Result<Judged, GuardProblem>> {
	const guarded = guardUpdate(update, record);
	if (!guarded.ok) return guarded;
	const { entries } = guarded.value;
	const unproved = await findUnproved(record, entries, keyOf);
	return unproved ? fail(unproved) : ok({ entries, texts: entries.map(canonicalJson) });
}

/** Why these entries may not be taken in with the keys that are known; null when they may. */
export async function findUnproved(
	record: string,
	entries: readonly Entry[],
	keyOf: KeyLookup,
): Promise<Extract<GuardProblem, { code: 'signature-wrong' | 'key-unknown' }> | null> {
	if (entries.length === 0) return null;
	const candidates = new Candidates(record, entries, keyOf);
	const { unproved } = await prove(candidates);
	const wrong = unproved.find(({ reason }) => reason === 'signature-wrong');
	if (wrong) return { code: 'signature-wrong', found: wrong.hash };
	const keys = new Set(unproved.map(({ hash }) => candidates.get(hash)?.by ?? ''));
	return keys.size > 0 ? { code: 'key-unknown', found: [...keys] } : null;
}

/** The entries of one update by themselves, able to look up keys that others name. */
class Candidates extends EntrySet {
	readonly #keyOf: KeyLookup;

	constructor(record: string, entries: Iterable<Entry>, keyOf: KeyLookup) {
		super(record, entries);
		this.#keyOf = keyOf;
	}

	override verifyingKeyOf(by: string): Promise<VerifyingKey> | undefined {
		return this.#keyOf(by) ?? super.verifyingKeyOf(by);
	}
}

/** Judges in the calling thread. */
export const guardHere: UpdateGuard = {
	judge: (update, known) => judgeUpdate(update, known.record, (by) => known.verifyingKeyOf(by)),
	stop: async () => undefined,
};
