import type { EntryOf } from '@stillmast/formats/entry';
import { compareEntries, isOpenQuestion, type RecordState } from '@stillmast/record';
import { type EntryNames, entryWords } from '$lib/check/entry-words.view.js';
import { clockText, penOf } from '$lib/check/people.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { talk } from '$lib/words/talk.js';

/** Something said to the crew, as the glass shows it. */
export interface Message {
	readonly hash: string;
	/** "S asks" or "S says". */
	readonly title: string;
	/** "Demo support, 14:31Z". */
	readonly from: string;
	/** The entry it is about, in words; empty for the check as a whole. */
	readonly about: string;
	/** Its words, in parts that a glass has room for. */
	readonly pages: readonly string[];
	/** An answer is wanted, not only that it was seen. */
	readonly asks: boolean;
}

/** Signs of a message that fit on a glass held either way, in the size of a status line and with all keys. */
export const pageSigns = 200;

/**
 * What waits for this pen, oldest first: questions of others that nobody has answered, and remarks of others that it
 * has not seen. Remarks from before its enrolment were said to others.
 */
export function messagesFor(state: RecordState, ownKey: string, names: EntryNames): Message[] {
	const since = state.judged.get(state.people.get(ownKey)?.enrolledBy ?? '')?.entry;
	if (since === undefined) return [];
	const isSeen = ({ hash }: EntryOf<'remark'>) => state.replies.get(hash)?.some(({ by }) => by === ownKey) ?? false;
	return state.of.remark
		.filter((remark) => remark.by !== ownKey)
		.filter((remark) =>
			remark.asks ? isOpenQuestion(state, remark) : !isSeen(remark) && compareEntries(remark, since) > 0,
		)
		.map((remark) => messageOf(state, remark, names));
}

function messageOf(state: RecordState, remark: EntryOf<'remark'>, names: EntryNames): Message {
	const pen = penInitial(penOf(state, remark.by));
	const target = remark.to === null ? undefined : state.judged.get(remark.to)?.entry;
	return {
		hash: remark.hash,
		title: fill(remark.asks ? talk.asks : talk.says, { pen }),
		from: `${state.people.get(remark.by)?.name ?? ''}, ${clockText(remark.at)}`,
		about: target === undefined ? '' : entryWords(target, names),
		pages: pagesOf(remark.text, pageSigns),
		asks: remark.asks,
	};
}

/** Cuts a text between words into parts of at most so many signs; a longer word is cut where it must be. */
export function pagesOf(text: string, most: number): string[] {
	const pages: string[] = [];
	let page = '';
	for (const word of text
		.trim()
		.split(/\s+/)
		.flatMap((one) => cut(one, most))) {
		const longer = page === '' ? word : `${page} ${word}`;
		if (longer.length > most) {
			pages.push(page);
			page = word;
		} else page = longer;
	}
	return [...pages, page];
}

function cut(word: string, most: number): string[] {
	const signs = [...word];
	const count = Math.max(1, Math.ceil(signs.length / most));
	return Array.from({ length: count }, (_, i) => signs.slice(i * most, (i + 1) * most).join(''));
}
