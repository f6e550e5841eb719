import type { Problem } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import { admitEntry } from '../../hash/hash-entry.js';
import { prove, type Unproved } from '../../proof/prove.js';
import { EntrySet } from '../../set/entry-set.js';

/** What became of entries that came from elsewhere (host, another page, a file, this device's own disk). */
export interface Taken {
	/** New in the set: sound envelope, right hash, proved by a signature. */
	readonly added: readonly Entry[];
	/** Never taken in: altered, forged, or of another record. */
	readonly refused: readonly Problem[];
}

/** Most problems remembered: a hostile sender must not fill the memory with them. */
const REFUSED_MAX = 100;
/** Most entries waiting for a key; beyond, the newest are left with the host, which still has them. */
const WAITING_MAX = 20_000;

/**
 * The one door for entries that this page did not write. Nothing gets through it into the set, and so onto the screen
 * or the disk, before envelope, hash and signature are checked. Entries of a key that nothing here names yet wait.
 */
export class Intake {
	readonly #set: EntrySet;
	readonly #waiting = new Map<string, Entry>();
	#working: Promise<unknown> = Promise.resolve();

	constructor(set: EntrySet) {
		this.#set = set;
	}

	/** Entries whose key is not known yet. */
	get waiting(): number {
		return this.#waiting.size;
	}

	/** One call after the other, whatever the caller does: a later batch may need what an earlier one brings. */
	take(values: readonly unknown[]): Promise<Taken> {
		const taken = this.#working.then(() => this.#take(values));
		this.#working = taken.catch(() => undefined);
		return taken;
	}

	async #take(values: readonly unknown[]): Promise<Taken> {
		const refused: Problem[] = [];
		for (const value of values) this.#admit(value, refused);
		if (this.#waiting.size === 0) return { added: [], refused };
		const { proved, unproved } = await this.#prove([...this.#waiting.values()]);
		for (const { hash, reason } of unproved) {
			if (reason === 'key-unknown') continue;
			this.#waiting.delete(hash);
			if (refused.length < REFUSED_MAX) refused.push({ code: reason, found: hash });
		}
		const added: Entry[] = [];
		for (const hash of proved) {
			const entry = this.#waiting.get(hash);
			this.#waiting.delete(hash);
			if (entry && this.#set.add(entry) === 'added') added.push(entry);
		}
		return { added, refused };
	}

	#admit(value: unknown, refused: Problem[]): void {
		const claimed = typeof value === 'object' && value !== null ? (value as { hash?: unknown }).hash : undefined;
		if (typeof claimed === 'string' && (this.#set.has(claimed) || this.#waiting.has(claimed))) return;
		const entry = admitEntry(value);
		if (!entry.ok) {
			if (refused.length < REFUSED_MAX) refused.push(entry.problem);
			return;
		}
		const { hash, record } = entry.value;
		if ((record ?? hash) !== this.#set.record) {
			if (refused.length < REFUSED_MAX)
				refused.push({ code: 'foreign', found: record ?? hash, needed: this.#set.record });
			return;
		}
		if (this.#waiting.size < WAITING_MAX) this.#waiting.set(hash, entry.value);
	}

	/** A chain's first entry brings its key along; other keys are those that the set knows. */
	async #prove(entries: readonly Entry[]): Promise<{ proved: readonly string[]; unproved: readonly Unproved[] }> {
		const brought = new EntrySet(this.#set.record, entries);
		const byOwnKey = entries.filter((entry) => brought.publicKeyOf(entry.by) !== undefined);
		const byKnownKey = entries.filter((entry) => brought.publicKeyOf(entry.by) === undefined);
		const first = await prove(brought, { only: byOwnKey });
		const second = await prove(this.#set, { only: byKnownKey });
		return { proved: [...first.proved, ...second.proved], unproved: [...first.unproved, ...second.unproved] };
	}
}
