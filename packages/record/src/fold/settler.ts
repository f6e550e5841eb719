import type { Entry, EntryOf, Kind } from '@stillmast/formats/entry';
import { canonicalJson } from '../hash/canonical-json.js';
import type { EntrySet } from '../set/entry-set.js';
import { compareEntries } from '../set/order.js';
import { type Agreements, type SaysSame, settle } from './settle.js';
import type { Settled } from './state.js';

interface Named {
	readonly hash: string;
}

/** Settles subjects by causality and by the agreements that count. */
export class Settler {
	readonly #set: EntrySet;
	readonly #agrees = new Map<string, Set<EntryOf<'agree'>>>();
	readonly #agreements: Agreements = {
		naming: (hash) => [...(this.#agrees.get(hash) ?? [])],
		// kept in order of arrival above, so the order is made here: `settle` names the first
		latest: (entries) => this.latest(entries).sort((a, b) => compareEntries(asEntry(a), asEntry(b))),
	};

	constructor(set: EntrySet) {
		this.#set = set;
	}

	addAgree(agree: EntryOf<'agree'>): void {
		for (const hash of namedBy(agree)) {
			const naming = this.#agrees.get(hash) ?? new Set();
			this.#agrees.set(hash, naming.add(agree));
		}
	}

	removeAgree(agree: EntryOf<'agree'>): void {
		for (const hash of namedBy(agree)) this.#agrees.get(hash)?.delete(agree);
	}

	/** Those that no other has in its past. */
	latest<T extends Named>(entries: readonly T[]): T[] {
		if (entries.length < 2) return [...entries];
		const known = entries.flatMap(({ hash }) => this.#set.get(hash) ?? []);
		const left = new Set(this.#set.causality.latest(known).map(({ hash }) => hash));
		return entries.filter(({ hash }) => left.has(hash));
	}

	/** Did whoever wrote `later` know `earlier`? */
	isBefore(earlier: Named, later: Named): boolean {
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

export function namedBy(agree: EntryOf<'agree'>): ReadonlySet<string> {
	return new Set([agree.chosen, ...agree.over]);
}

const asEntry = (agree: EntryOf<'agree'>) => agree as unknown as Entry;

/** Equal in these fields, as JSON. */
function sameFields<K extends Kind>(fields: readonly (keyof EntryOf<K> & string)[]): SaysSame<K> {
	return (a, b) => fields.every((field) => text(a[field]) === text(b[field]));
}

function text(value: unknown): string {
	return value === undefined ? '' : canonicalJson(value);
}
