import type { EntryOf } from '@stillmast/formats/entry';
import { groupBy } from './group-by.js';
import type { Settler } from './settler.js';
import type { LimitEvidence } from './state.js';

export type LimitEntry = EntryOf<'witness'> | EntryOf<'memory'> | EntryOf<'decision'>;

/** What was said about one parameter of one flight. @rule REC-54 */
export function readLimit(entries: readonly LimitEntry[], settler: Settler): LimitEvidence {
	const { flight, parameter } = entries[0] as LimitEntry;
	const decisions = entries.filter((one) => one.kind === 'decision');
	return {
		flight,
		parameter,
		witnesses: entries.filter((one) => one.kind === 'witness'),
		memories: entries.filter((one) => one.kind === 'memory'),
		// Each limit line is decided on its own.
		decisions: [...groupBy(decisions, ({ line }) => line ?? '').values()].flatMap((group) => settler.latest(group)),
	};
}
