import type { EntryOf, Kind, KnownEntry } from '@stillmast/formats/entry';
import { kinds } from '@stillmast/formats/entry';
import { canonicalJson } from '../hash/canonical-json.js';
import type { EntrySet } from '../set/entry-set.js';
import { type Agreements, type SaysSame, settle } from './settle.js';
import type { RecordState, Settled } from './state.js';

/** Entries that count, sorted by kind. */
export type OfKind = RecordState['of'];

export function sortByKind(counted: readonly KnownEntry[]): OfKind {
	const of = Object.fromEntries(kinds.map((kind) => [kind, [] as KnownEntry[]])) as Record<Kind, KnownEntry[]>;
	for (const entry of counted) of[entry.kind].push(entry);
	return of as unknown as OfKind;
}

/** Groups by a text key, keeping the order of entries and of first appearance. */
export function groupBy<T>(entries: readonly T[], keyOf: (entry: T) => string): Map<string, T[]> {
	const groups = new Map<string, T[]>();
	for (const entry of entries) {
		const key = keyOf(entry);
		const group = groups.get(key);
		if (group === undefined) groups.set(key, [entry]);
		else group.push(entry);
	}
	return groups;
}

/** Settles subjects; made once per fold. */
export class Settler {
	readonly #set: EntrySet;
	readonly #agreements: Agreements;

	constructor(set: EntrySet, agrees: readonly EntryOf<'agree'>[]) {
		this.#set = set;
		const byHash = new Map<string, EntryOf<'agree'>[]>();
		for (const agree of agrees) {
			for (const hash of new Set([agree.chosen, ...agree.over])) {
				const list = byHash.get(hash);
				if (list === undefined) byHash.set(hash, [agree]);
				else list.push(agree);
			}
		}
		this.#agreements = {
			naming: (hash) => byHash.get(hash) ?? [],
			latest: (entries) => this.latest(entries),
		};
	}

	/** Those that no other has in its past. */
	latest<T extends { readonly hash: string }>(entries: readonly T[]): T[] {
		if (entries.length < 2) return [...entries];
		const known = entries.map((entry) => this.#set.get(entry.hash));
		const left = new Set(this.#set.causality.latest(known.flatMap((entry) => entry ?? [])).map(({ hash }) => hash));
		return entries.filter(({ hash }) => left.has(hash));
	}

	/** Did whoever wrote `later` know `earlier`? */
	isBefore(earlier: { readonly hash: string }, later: { readonly hash: string }): boolean {
		const [first, second] = [this.#set.get(earlier.hash), this.#set.get(later.hash)];
		return first !== undefined && second !== undefined && this.#set.causality.isBefore(first, second);
	}

	/** Evidence: every entry stands until struck. */
	evidence<K extends Kind>(entries: readonly EntryOf<K>[], same: SaysSame<K>): Settled<K> {
		return settle(entries, same, this.#agreements);
	}

	/** Statements: an entry replaces those that it has in its past. `fields` are those that say something. @rule REC-51 */
	statement<K extends Kind>(
		entries: readonly EntryOf<K>[],
		fields: readonly (keyof EntryOf<K> & string)[],
	): Settled<K> {
		return settle(this.latest(entries), sameFields(fields), this.#agreements);
	}
}

/** Equal in these fields, as JSON. */
function sameFields<K extends Kind>(fields: readonly (keyof EntryOf<K> & string)[]): SaysSame<K> {
	return (a, b) => fields.every((field) => text(a[field]) === text(b[field]));
}

function text(value: unknown): string {
	return value === undefined ? '' : canonicalJson(value);
}
