import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState } from '@stillmast/record';
import type { EntrySet } from '@stillmast/record/set';
import { enrolmentWords } from '@stillmast/record/words';
import { roleWord } from '$lib/check/people.view.js';

/** Somebody whom the host let in by an invitation. */
export interface CameIn {
	readonly hash: string;
	readonly name: string;
	readonly role: string;
	readonly enrolment: EntryOf<'enrolled'>;
}

/** Who came in by an invitation and is not locked out, the newest first. */
export function cameIn(state: RecordState): CameIn[] {
	return state.of.enrolled
		.filter(({ invite }) => invite !== null)
		.filter(({ publicKey }) =>
			[...state.people.values()].some((one) => one.publicKey === publicKey && one.revokedBy.length === 0),
		)
		.map((enrolment) => ({
			hash: enrolment.hash,
			name: enrolment.name,
			role: roleWord(enrolment.role),
			enrolment,
		}))
		.reverse();
}

const made = new WeakMap<EntryOf<'enrolled'>, Promise<string | null>>();

/** The three words that stand on the screen of whoever came in. They are slow to make, and made once. */
export function wordsOf(set: EntrySet, enrolment: EntryOf<'enrolled'>): Promise<string | null> {
	const there = made.get(enrolment);
	if (there !== undefined) return there;
	const words = enrolmentWords(set, enrolment);
	made.set(enrolment, words);
	return words;
}
