import { blobHashesOf } from '../../file/blob-hashes.js';
import { bareRules, type FoldRules, rulesOfRecord } from '../../fold/rules.js';
import type { EntrySet } from '../../set/entry-set.js';
import type { Blobs } from './blobs.js';

/** The rules that the fold goes by: bare until the card and the type data that the record was opened with are here. */
export class RecordRules {
	readonly #entries: EntrySet;
	readonly #blobs: Blobs;
	readonly #onLearnt: () => void;
	#rules: FoldRules | null = null;
	#learning = false;

	constructor(entries: EntrySet, blobs: Blobs, onLearnt: () => void) {
		this.#entries = entries;
		this.#blobs = blobs;
		this.#onLearnt = onLearnt;
	}

	get current(): FoldRules {
		return this.#rules ?? bareRules;
	}

	/** Tries to have them, from this device or from the host; to be called whenever that may have become possible. */
	async learn(): Promise<void> {
		const opened = this.#entries.get(this.#entries.record);
		if (!opened || this.#rules || this.#learning) return;
		this.#learning = true;
		const named = blobHashesOf(opened);
		const found = await Promise.all(named.map((hash) => this.#blobs.get(hash)));
		this.#learning = false;
		if (found.some((bytes) => bytes === null)) return;
		this.#rules = rulesOfRecord(this.#entries, (hash) => found[named.indexOf(hash)] ?? undefined);
		this.#onLearnt();
	}
}
