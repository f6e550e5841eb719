import type { EntrySet } from '../set/entry-set.js';
import { Folding, type FoldOptions } from './folding.js';
import type { RecordState } from './state.js';

/** What a record says. A pure function of the set and the options: the order of arrival changes nothing. @rule REC-11 */
export function fold(set: EntrySet, options: FoldOptions = {}): RecordState {
	return new Folding(set, options).state();
}
