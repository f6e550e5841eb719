import type { EntryOf, Kind } from '@stillmast/formats/entry';
import type { Settled } from './state.js';

/** Says whether two entries of one subject say the same. */
export type SaysSame<K extends Kind> = (a: EntryOf<K>, b: EntryOf<K>) => boolean;

export interface Agreements {
	/** Agreements in force that name this entry. */
	naming(hash: string): readonly EntryOf<'agree'>[];
	/** Newest by causality. */
	latest(entries: readonly EntryOf<'agree'>[]): EntryOf<'agree'>[];
}

/**
 * What holds among entries that stand side by side (at least one, in total order). They differ unless all say the same,
 * or an agreement chose one of them and names, or agrees with, all that differ from it. So a later entry that differs
 * opens the question again by itself, since no agreement can name what it did not know. @rule REC-52
 */
export function settle<K extends Kind>(
	entries: readonly EntryOf<K>[],
	same: SaysSame<K>,
	agreements: Agreements,
): Settled<K> {
	const first = entries[0] as EntryOf<K>;
	if (entries.length === 1 || allSame(entries, same)) {
		return { state: 'one', entries, holds: first, agree: null };
	}
	const differ = { state: 'differ', entries, holds: null, agree: null } as const;
	const about = new Set(entries.flatMap(({ hash }) => agreements.naming(hash)));
	const inForce = agreements.latest([...about]);
	const agree = inForce[0];
	if (agree === undefined) return differ;
	const chosen = entries.find(({ hash }) => hash === agree.chosen);
	if (chosen === undefined || inForce.some((other) => other.chosen !== agree.chosen)) return differ;
	const covered = new Set(inForce.flatMap(({ over }) => over));
	return entries.every((one) => covered.has(one.hash) || same(chosen, one))
		? { state: 'agreed', entries, holds: chosen, agree }
		: differ;
}

/** Within a resolution is no equivalence: of three readings the outer two may differ though each is near the middle. */
function allSame<K extends Kind>(entries: readonly EntryOf<K>[], same: SaysSame<K>): boolean {
	return entries.every((one, i) => entries.slice(i + 1).every((other) => same(one, other)));
}
