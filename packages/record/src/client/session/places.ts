import type { Entry } from '@stillmast/formats/entry';
import type { EntrySet } from '../../set/entry-set.js';
import type { ChainHead } from '../../wire/index.js';

/** Where an entry stands on this device. */
export type Keeping = 'being-kept' | 'on-this-device' | 'not-on-this-device';

/** Where an entry is known to be. */
export interface EntryPlace {
	readonly device: Keeping;
	/** The host has said, from its committed rows, that it is stored there. */
	readonly host: boolean;
	/** Fingerprints of other pens that have written since, knowing it. */
	readonly alsoWith: readonly string[];
}

/** What is on the disk and what the host has acknowledged, entry by entry. */
export class Places {
	readonly #set: EntrySet;
	readonly #keeping = new Map<string, Keeping>();
	readonly #stored = new Set<string>();
	readonly #unstored = new Set<string>();
	/** Acknowledged, but not here yet (or only found by following `prev` from what is). */
	readonly #storedAhead = new Set<string>();

	constructor(set: EntrySet) {
		this.#set = set;
		for (const { hash } of set.inOrder()) this.#unstored.add(hash);
	}

	setKeeping(hash: string, keeping: Keeping): void {
		if (keeping === 'on-this-device') this.#keeping.delete(hash);
		else this.#keeping.set(hash, keeping);
	}

	/** Entries that are in the set and not in this map are on the disk. */
	get unsettled(): ReadonlyMap<string, Keeping> {
		return this.#keeping;
	}

	/** Nothing leaves this device before its disk has answered, be it that it failed. */
	mayLeave(hash: string): boolean {
		const arrived = this.#stored.has(hash) || this.#unstored.has(hash);
		return arrived && this.#keeping.get(hash) !== 'being-kept';
	}

	/** A new connection: what the host stores is only what it says from here on. */
	forgetStored(): void {
		for (const hash of this.#stored) this.#unstored.add(hash);
		this.#stored.clear();
		this.#storedAhead.clear();
	}

	/** Takes heads that the host read from committed rows: everything before them in their chains is stored too. */
	acknowledge(heads: readonly ChainHead[]): void {
		for (const [, , hash] of heads) this.#follow(hash);
	}

	/** To be told of every entry that is new in the set. */
	arrived(entry: Entry): void {
		if (!this.#stored.has(entry.hash)) this.#unstored.add(entry.hash);
		if (this.#storedAhead.delete(entry.hash)) this.#follow(entry.hash);
	}

	isStored(hash: string): boolean {
		return this.#stored.has(hash);
	}

	/** Entries here that the host has not acknowledged, oldest first. */
	get unstored(): ReadonlySet<string> {
		return this.#unstored;
	}

	/** Entries that the host stores and that are not here: to be asked for. */
	get lacking(): number {
		return this.#storedAhead.size;
	}

	/** The last stored entry of each chain and branch that is here: for keeping over a reload. */
	acknowledged(): ChainHead[] {
		const heads = new Map<string, ChainHead>();
		for (const { hash } of this.#set.heads()) {
			let entry = this.#set.get(hash);
			while (entry && !this.#stored.has(entry.hash))
				entry = entry.prev === null ? undefined : this.#set.get(entry.prev);
			if (entry) heads.set(entry.hash, [entry.chain, entry.seq, entry.hash]);
		}
		return [...heads.values()];
	}

	/** @param ownPens fingerprints of the pens on this device: their later entries say nothing about other devices */
	placeOf(entry: Entry, ownPens: ReadonlySet<string>): EntryPlace {
		const alsoWith = new Set<string>();
		for (const head of this.#set.heads()) {
			const last = this.#set.get(head.hash);
			if (!last || last.by === entry.by || ownPens.has(last.by) || alsoWith.has(last.by)) continue;
			if (this.#set.causality.isBefore(entry, last)) alsoWith.add(last.by);
		}
		return {
			device: this.#keeping.get(entry.hash) ?? 'on-this-device',
			host: this.#stored.has(entry.hash),
			alsoWith: [...alsoWith].sort(),
		};
	}

	#follow(from: string): void {
		let hash: string | null = from;
		while (hash !== null && !this.#stored.has(hash)) {
			const entry: Entry | undefined = this.#set.get(hash);
			if (!entry) {
				this.#storedAhead.add(hash);
				return;
			}
			this.#stored.add(hash);
			this.#unstored.delete(hash);
			hash = entry.prev;
		}
	}
}
