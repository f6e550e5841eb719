import type { Entry } from '@stillmast/formats/entry';

/** Where an entry stands among the others. */
type Ranked = Pick<Entry, 'n' | 'chain' | 'seq' | 'hash'>;

/** Total order of a record's entries: `n`, chain, seq, hash. No clock in it; equal only for the same entry. */
export function compareEntries(a: Ranked, b: Ranked): number {
	return a.n - b.n || compareText(a.chain, b.chain) || a.seq - b.seq || compareText(a.hash, b.hash);
}

/** By UTF-16 units, the same on every machine (no locale). */
export function compareText(a: string, b: string): number {
	return a < b ? -1 : a > b ? 1 : 0;
}

/** Entries that `entry` names as before it: what it knew directly when it was written. */
export function parents(entry: Entry): readonly string[] {
	const named = entry.prev === null ? entry.seen : [entry.prev, ...entry.seen];
	return entry.pen === undefined || entry.pen.heads.length === 0 ? named : [...named, ...entry.pen.heads];
}
