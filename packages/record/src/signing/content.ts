import type { Entry, EntryOf, FieldsOf } from '@stillmast/formats/entry';
import { blobHashesOf } from '../file/blob-hashes.js';
import { hashJson } from '../hash/hash-entry.js';
import type { EntrySet } from '../set/entry-set.js';
import { compareText, parents } from '../set/order.js';

export type SignedHeads = FieldsOf<'signature'>['heads'];
export type LostDevices = NonNullable<FieldsOf<'signature'>['lost']>;

/** What a content digest is made of, beside the entries. */
export interface ContentTerms {
	readonly number: number;
	readonly previous: string | null;
	readonly heads: SignedHeads;
	readonly lost?: LostDevices | undefined;
}

/** Entries covered by heads, and whether any that they reach is not here. */
export interface Covered {
	readonly entries: readonly Entry[];
	/** Named within, not here, and not of a device named as lost. */
	readonly missing: boolean;
}

/**
 * The heads and all that lies in their past. Of a device named as lost nothing counts after its last entry named, so
 * that the signature stays what it was when those entries turn up after all.
 */
export function coveredBy(set: EntrySet, heads: SignedHeads, lost: LostDevices = []): Covered {
	const found = new Map<string, Entry>();
	const kept = new Map(lost.map(({ key, last }) => [key, set.causality.past(last === null ? [] : [last])]));
	let missing = false;
	const open = heads.map(({ hash }) => hash);
	const isHead = new Set(open);
	for (let hash = open.pop(); hash !== undefined; hash = open.pop()) {
		if (found.has(hash)) continue;
		const entry = set.get(hash);
		if (entry === undefined) {
			// Whose it is cannot be seen from a hash; with a device lost, it may be one of its own.
			if (lost.length === 0 || isHead.has(hash)) missing = true;
			continue;
		}
		if (kept.get(entry.by)?.has(hash) === false) continue;
		found.set(hash, entry);
		open.push(...parents(entry));
	}
	return { entries: [...found.values()], missing };
}

/** SHA-256 of the RFC 8785 form of what a signature covers. @rule REC-70 */
export function contentDigest(set: EntrySet, terms: ContentTerms): string {
	const { entries } = coveredBy(set, terms.heads, terms.lost);
	return hashJson({
		v: 1,
		record: set.record,
		number: terms.number,
		previous: terms.previous,
		heads: terms.heads,
		entries: hashJson(entries.map(({ hash }) => hash).sort(compareText)),
		blobs: [...new Set(entries.flatMap(blobHashesOf))].sort(compareText),
	});
}

/** The terms as a signature entry states them. */
export function termsOf(entry: EntryOf<'signature'>): ContentTerms {
	const { number, previous, heads, lost } = entry;
	return { number, previous, heads, lost };
}
