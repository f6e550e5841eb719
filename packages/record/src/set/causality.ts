import type { Entry } from '@stillmast/formats/entry';
import { parents } from './order.js';

/** What causality needs of a set of entries. */
export interface Linked {
	get(hash: string): Entry | undefined;
	isForked(chain: string): boolean;
}

/** For every other chain, how far it lies in an entry's past. Shared between neighbours that know the same. */
type Reach = ReadonlyMap<string, number>;

const NOTHING: Reach = new Map();

/**
 * Which entries lie in the past of which, by what the entries themselves name. Entries not here contribute nothing
 * until they come. Answers are kept: one map of chain ends per entry that learnt something new.
 */
export class Causality {
	readonly #set: Linked;
	readonly #reach = new Map<string, Reach>();

	constructor(set: Linked) {
		this.#set = set;
	}

	/** To be called when a chain has forked. */
	forget(): void {
		this.#reach.clear();
	}

	/** To be called when something that these entries name has come: answers that rest on them are short by it. */
	forgetIfAsked(hashes: Iterable<string>): void {
		for (const hash of hashes) {
			if (!this.#reach.has(hash)) continue;
			this.forget();
			return;
		}
	}

	/** Is `earlier` in the past of `later`? An entry is not in its own past. */
	isBefore(earlier: Entry, later: Entry): boolean {
		if (earlier.hash === later.hash) return false;
		// In a forked chain a seq is no longer one entry: look at every step.
		if (this.#set.isForked(earlier.chain)) return this.past([later.hash]).has(earlier.hash) && earlier !== later;
		if (earlier.chain === later.chain) return earlier.seq < later.seq;
		return (this.#reachOf(later).get(earlier.chain) ?? 0) >= earlier.seq;
	}

	/** Those of `entries` that lie in no other's past: what holds, or what stands side by side. Keeps their order. */
	latest<T extends Entry>(entries: readonly T[]): T[] {
		if (entries.length < 2) return [...entries];
		return entries.filter((one) => !entries.some((other) => this.isBefore(one, other)));
	}

	/** The entries of these hashes and all that lies in their past, as far as it is here. */
	past(hashes: Iterable<string>): Set<string> {
		const found = new Set<string>();
		const open = [...hashes];
		for (let hash = open.pop(); hash !== undefined; hash = open.pop()) {
			if (found.has(hash)) continue;
			const entry = this.#set.get(hash);
			if (entry === undefined) continue;
			found.add(hash);
			open.push(...parents(entry));
		}
		return found;
	}

	#reachOf(entry: Entry): Reach {
		// Depth first without recursion: a chain may be tens of thousands of entries long.
		const open = [entry];
		for (let top = open.at(-1); top !== undefined; top = open.at(-1)) {
			if (this.#reach.has(top.hash)) {
				open.pop();
				continue;
			}
			const known = parents(top).flatMap((hash) => this.#set.get(hash) ?? []);
			const unknown = known.filter((parent) => !this.#reach.has(parent.hash));
			if (unknown.length > 0) {
				open.push(...unknown);
				continue;
			}
			this.#reach.set(top.hash, this.#joined(top, known));
			open.pop();
		}
		return this.#reach.get(entry.hash) ?? NOTHING;
	}

	#joined(entry: Entry, known: readonly Entry[]): Reach {
		const own = known.find((parent) => parent.hash === entry.prev);
		const base = own === undefined ? NOTHING : (this.#reach.get(own.hash) ?? NOTHING);
		const others = known.filter((parent) => parent !== own);
		if (others.length === 0) return base;
		const joined = new Map(base);
		const reach = (chain: string, seq: number) => {
			if (chain !== entry.chain && (joined.get(chain) ?? 0) < seq) joined.set(chain, seq);
		};
		for (const other of others) {
			reach(other.chain, other.seq);
			for (const [chain, seq] of this.#reach.get(other.hash) ?? NOTHING) reach(chain, seq);
		}
		return joined;
	}
}
