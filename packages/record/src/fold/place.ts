import type { Entry } from '@stillmast/formats/entry';
import { fingerprint } from '../hash/hash-entry.js';
import { continues } from '../proof/prove.js';
import type { EntrySet } from '../set/entry-set.js';
import { hasRightOrder } from '../set/right-order.js';
import type { ApartReason, Judgement } from './state.js';

const apart = (reason: ApartReason): Judgement => ({ state: 'apart', reason });

/**
 * Why an entry cannot count for its place in chain and order; null when it can.
 * @param verdicts of entries before it in its chain, those that can count left out
 * @rule REC-10
 */
export function judgePlace(entry: Entry, set: EntrySet, verdicts: ReadonlyMap<string, Judgement>): Judgement | null {
	if (entry.prev === null) {
		if (entry.pen === undefined || fingerprint(entry.pen.publicKey) !== entry.by) return apart('wrong-chain');
	} else {
		const before = set.get(entry.prev);
		if (before === undefined) return { state: 'waits', for: 'chain' };
		if (!continues(before, entry)) return apart('wrong-chain');
		const verdict = verdicts.get(before.hash);
		// An entry of wrong order is itself apart, but the chain goes on through it.
		if (verdict?.state === 'waits' || (verdict?.state === 'apart' && verdict.reason === 'wrong-chain')) return verdict;
	}
	return hasRightOrder(entry, set) ? null : apart('wrong-order');
}
