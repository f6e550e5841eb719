import { BYTES_32, type Entry } from '@stillmast/formats/entry';
import { fingerprint } from '../hash/hash-entry.js';
import { type VerifyingKey, verifyingKey } from '../pen/pen-key.js';
import { Causality } from './causality.js';
import { compareEntries, compareText, parents } from './order.js';

/** Two entries of one chain and seq with different content: a key used twice, or a forgery. Both are kept. */
export interface ForkAlarm {
	readonly code: 'chain-forked';
	readonly chain: string;
	readonly seq: number;
	/** Sorted. */
	readonly hashes: readonly string[];
}

/** Last entry of a chain (of each branch, where it forks). */
export interface Head {
	readonly chain: string;
	readonly seq: number;
	readonly hash: string;
}

/**
 * All entries of one record ever seen here: a set that only grows. It takes admitted entries (`admitEntry`), in any
 * order, any number of times; everything it answers depends on its content alone, never on the order of arrival.
 */
export class EntrySet {
	/** Hash of the record's `opened` entry, here yet or not. */
	readonly record: string;
	readonly causality: Causality;
	readonly #byHash = new Map<string, Entry>();
	readonly #chains = new Map<string, Map<number, Entry[]>>();
	readonly #followed = new Set<string>();
	readonly #tips = new Map<string, Entry>();
	readonly #frontier = new Map<string, Entry>();
	readonly #wanted = new Map<string, Set<string>>();
	readonly #forks = new Map<string, ForkAlarm>();
	readonly #forkedChains = new Set<string>();
	readonly #publicKeys = new Map<string, string>();
	readonly #verifying = new Map<string, Promise<VerifyingKey>>();
	readonly #arrived: Entry[] = [];
	readonly #ordered: Entry[] = [];
	#late: Entry[] = [];

	constructor(record: string, entries: Iterable<Entry> = []) {
		this.record = record;
		this.causality = new Causality(this);
		for (const entry of entries) this.add(entry);
	}

	get size(): number {
		return this.#byHash.size;
	}

	has(hash: string): boolean {
		return this.#byHash.has(hash);
	}

	get(hash: string): Entry | undefined {
		return this.#byHash.get(hash);
	}

	/** @returns `foreign` when the entry belongs to another record: it is not taken in */
	add(entry: Entry): 'added' | 'known' | 'foreign' {
		const { hash } = entry;
		if (this.#byHash.has(hash)) return 'known';
		if ((entry.record ?? hash) !== this.record) return 'foreign';
		this.#byHash.set(hash, entry);
		this.#late.push(entry);
		this.#arrived.push(entry);
		this.#place(entry);
		this.#link(entry);
		this.#learnKeys(entry);
		return 'added';
	}

	/** In total order (`compareEntries`). The array is the set's own: good until the next `add`. */
	inOrder(): readonly Entry[] {
		const late = this.#late;
		this.#late = [];
		const last = this.#ordered.at(-1);
		late.sort(compareEntries);
		const first = late[0];
		const appends = last === undefined || first === undefined || compareEntries(last, first) < 0;
		if (appends || late.length > 16) {
			for (const entry of late) this.#ordered.push(entry);
			if (!appends) this.#ordered.sort(compareEntries);
		} else {
			for (const entry of late) this.#ordered.splice(this.#placeInOrder(entry), 0, entry);
		}
		return this.#ordered;
	}

	/** What has come since the set had `size` entries, in order of arrival: for going on with work, never for deciding. */
	arrivedSince(size: number): readonly Entry[] {
		return this.#arrived.slice(size);
	}

	/** Last entry here of every chain, sorted; a forked chain has several. */
	heads(): Head[] {
		return [...this.#tips.values()]
			.map(({ chain, seq, hash }) => ({ chain, seq, hash }))
			.sort((a, b) => compareText(a.chain, b.chain) || a.seq - b.seq || compareText(a.hash, b.hash));
	}

	/** Entries that no other entry here names: together they have all others in their past. Sorted by hash. */
	frontier(): readonly Entry[] {
		return [...this.#frontier.values()].sort((a, b) => compareText(a.hash, b.hash));
	}

	/** Hashes named but not here, each with the hashes of the entries that name it. */
	get missing(): ReadonlyMap<string, ReadonlySet<string>> {
		return this.#wanted;
	}

	/** Sorted by chain and seq. */
	alarms(): readonly ForkAlarm[] {
		return [...this.#forks.values()].sort((a, b) => compareText(a.chain, b.chain) || a.seq - b.seq);
	}

	isForked(chain: string): boolean {
		return this.#forkedChains.has(chain);
	}

	/** Ids of the chains here, in no particular order. */
	chains(): Iterable<string> {
		return this.#chains.keys();
	}

	/** Entries of a chain by seq; a forked seq has several, gaps have none. */
	chain(chain: string): Entry[] {
		const places = [...(this.#chains.get(chain) ?? [])].sort((a, b) => a[0] - b[0]);
		return places.flatMap(([, entries]) => [...entries].sort((a, b) => compareText(a.hash, b.hash)));
	}

	/** Public key of a fingerprint, if any entry here names it. */
	publicKeyOf(by: string): string | undefined {
		return this.#publicKeys.get(by);
	}

	/** The same, ready to check signatures; undefined while no entry here names it. */
	verifyingKeyOf(by: string): Promise<VerifyingKey> | undefined {
		const publicKey = this.#publicKeys.get(by);
		if (publicKey === undefined) return undefined;
		const key = this.#verifying.get(by) ?? verifyingKey(publicKey);
		this.#verifying.set(by, key);
		return key;
	}

	#place(entry: Entry): void {
		const { chain, seq } = entry;
		const places = this.#chains.get(chain) ?? new Map<number, Entry[]>();
		this.#chains.set(chain, places);
		const here = places.get(seq);
		if (here === undefined) {
			places.set(seq, [entry]);
			return;
		}
		here.push(entry);
		const hashes = here.map((one) => one.hash).sort(compareText);
		this.#forks.set(`${chain} ${seq}`, { code: 'chain-forked', chain, seq, hashes });
		this.#forkedChains.add(chain);
		this.causality.forget();
	}

	#link(entry: Entry): void {
		const { hash, prev } = entry;
		if (!this.#followed.has(hash)) this.#tips.set(hash, entry);
		if (prev !== null) {
			this.#followed.add(prev);
			this.#tips.delete(prev);
		}
		const namedBy = this.#wanted.get(hash);
		if (namedBy === undefined) this.#frontier.set(hash, entry);
		else {
			this.#wanted.delete(hash);
			this.causality.forgetIfAsked(namedBy);
		}
		for (const parent of parents(entry)) {
			if (this.#byHash.has(parent)) {
				this.#frontier.delete(parent);
				continue;
			}
			const wantedBy = this.#wanted.get(parent);
			if (wantedBy === undefined) this.#wanted.set(parent, new Set([hash]));
			else wantedBy.add(hash);
		}
	}

	#learnKeys(entry: Entry): void {
		if (entry.pen !== undefined) this.#publicKeys.set(fingerprint(entry.pen.publicKey), entry.pen.publicKey);
		// Its fields are not judged yet: only a key's own spelling is looked at.
		const enrols = entry.kind === 'enrolled' ? entry.publicKey : undefined;
		if (typeof enrols === 'string' && BYTES_32.test(enrols)) this.#publicKeys.set(fingerprint(enrols), enrols);
	}

	#placeInOrder(entry: Entry): number {
		let low = 0;
		let high = this.#ordered.length;
		while (low < high) {
			const middle = (low + high) >>> 1;
			if (compareEntries(this.#ordered[middle] as Entry, entry) < 0) low = middle + 1;
			else high = middle;
		}
		return low;
	}
}
