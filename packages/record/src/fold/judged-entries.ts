import type { EntrySet } from '../set/entry-set.js';
import type { Judge } from './judge.js';
import type { Judged } from './state.js';

/**
 * Every entry with its judgement, in total order, without a copy of either: a view of the newest state, which goes on
 * to be that of the newest one when more has come.
 */
export class JudgedEntries implements ReadonlyMap<string, Judged> {
	readonly #set: EntrySet;
	readonly #judge: Judge;
	readonly size: number;

	constructor(set: EntrySet, judge: Judge, size: number) {
		this.#set = set;
		this.#judge = judge;
		this.size = size;
	}

	get(hash: string): Judged | undefined {
		const entry = this.#set.get(hash);
		return entry === undefined ? undefined : { entry, judgement: this.#judge.judgementOf(hash) };
	}

	has(hash: string): boolean {
		return this.#set.has(hash);
	}

	*keys(): MapIterator<string> {
		for (const { hash } of this.#set.inOrder()) yield hash;
	}

	*values(): MapIterator<Judged> {
		for (const entry of this.#set.inOrder()) yield { entry, judgement: this.#judge.judgementOf(entry.hash) };
	}

	*entries(): MapIterator<[string, Judged]> {
		for (const judged of this.values()) yield [judged.entry.hash, judged];
	}

	[Symbol.iterator](): MapIterator<[string, Judged]> {
		return this.entries();
	}

	forEach(callback: (value: Judged, key: string, map: ReadonlyMap<string, Judged>) => void): void {
		for (const [hash, judged] of this) callback(judged, hash, this);
	}
}
