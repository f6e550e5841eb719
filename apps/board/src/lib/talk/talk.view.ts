import type { Entry, EntryOf, Role } from '@stillmast/formats/entry';
import { isOpenQuestion, mayWrite, type RecordState } from '@stillmast/record';
import { clockText, penOf } from '$lib/check/people.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { talk } from '$lib/words/talk.js';
import { type EntryNames, entryWords } from '../check/entry-words.view.js';

/** Something said about the check or one of its entries, with what was answered. */
export interface Said {
	readonly hash: string;
	/** "S asked: Please measure hover lateral again." */
	readonly text: string;
	/** What it is about, or empty for the check as a whole. */
	readonly about: string;
	readonly time: string;
	readonly answers: readonly string[];
	/** An answer is asked for and none has come. */
	readonly isOpen: boolean;
}

/** Everything said, oldest first. */
export function saidOf(state: RecordState, names: EntryNames): Said[] {
	return state.of.remark.map((remark) => {
		const target = remark.to === null ? undefined : state.judged.get(remark.to)?.entry;
		const replies = state.replies.get(remark.hash) ?? [];
		return {
			hash: remark.hash,
			text: `${penInitial(penOf(state, remark.by))} ${entryWords(remark as unknown as Entry, names)}`,
			about: target === undefined ? '' : entryWords(target, names),
			time: clockText(remark.at),
			answers: replies.map((one) => answerWords(state, one)),
			isOpen: isOpenQuestion(state, remark),
		};
	});
}

/** May this pen strike out that entry, giving a reason? The same table that judges entries answers. */
export function mayStrike(state: RecordState, ownKey: string, role: Role | null, entryBy: string): boolean {
	const { purpose } = state;
	if (role === null || purpose === null) return false;
	const creator = state.people.get(ownKey)?.creator ?? false;
	return mayWrite(role, 'strike', { purpose, creator, own: entryBy === ownKey, reasoned: true });
}

function answerWords(state: RecordState, reply: EntryOf<'reply'>): string {
	const text = reply.text ?? talk.answers[reply.answer ?? 'seen'];
	return fill(talk.answered, { pen: penInitial(penOf(state, reply.by)), text });
}
