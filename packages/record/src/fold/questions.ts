import type { EntryOf } from '@stillmast/formats/entry';
import { compareEntries } from '../set/order.js';
import type { RecordState } from './state.js';

/** What an answer needs to know of the record. */
type Answers = Pick<RecordState, 'of' | 'replies'>;

/** Questions that wait for an answer, oldest first. @rule REC-64 */
export function openQuestions(state: Answers): EntryOf<'remark'>[] {
	return state.of.remark.filter((remark) => isOpenQuestion(state, remark));
}

/** Does this remark ask, and is no answer there, or one that was put off until a landing that has come since? */
export function isOpenQuestion({ of, replies }: Answers, { asks, hash }: EntryOf<'remark'>): boolean {
	if (!asks) return false;
	const last = replies.get(hash)?.at(-1);
	if (last === undefined) return true;
	return (
		last.answer === 'after-landing' &&
		of.flight.some((flight) => flight.state === 'closed' && compareEntries(flight, last) > 0)
	);
}
