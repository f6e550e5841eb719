import type { Problem, Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import {
	applyUpdate,
	createCarrier,
	ENTRIES_ROOT,
	missingUpdate,
	stateVector,
	updateOf,
} from '@stillmast/record/carrier';
import { admitEntry } from '@stillmast/record/hash';
import { EntrySet } from '@stillmast/record/set';
import type { Log } from '../ports.js';
import type { EntryRow, StoredRecord, StoredUpdate } from '../store/store.js';
import { rowValue } from './entry-row.js';
import { type Trust, trustOf } from './trust.js';

/**
 * What a record holds, in memory: its entries, who belongs to it, and the document that carries the entries between
 * devices. The document decides nothing; an entry that it does not show is set again.
 */
export class Content {
	readonly entries: EntrySet;
	readonly #log: Log;
	readonly #carrier = createCarrier();
	#trust: Trust;

	/** Nothing is damaged by a row that cannot be read: it stays where it is, is passed over and reported. */
	constructor(record: string, stored: StoredRecord, log: Log) {
		this.entries = new EntrySet(record);
		this.#log = log;
		this.replay(stored.updates);
		this.add(this.admit(stored.entries));
		this.#trust = trustOf(this.entries);
	}

	get trust(): Trust {
		return this.#trust;
	}

	/** Applies kept updates; those that are there already change nothing. */
	replay(updates: readonly StoredUpdate[]): void {
		const { record } = this.entries;
		updates.forEach(({ bytes }, index) => {
			const applied = this.apply(bytes);
			if (!applied.ok) this.#log({ level: 'error', event: 'update-unreadable', record, index });
		});
	}

	/** Applies an update that was judged. `waiting`: the document holds something whose parents are missing. */
	apply(update: Uint8Array): Result<{ readonly waiting: boolean }, Problem> {
		return applyUpdate(this.#carrier, update);
	}

	/** Entries of rows. */
	admit(rows: readonly EntryRow[]): Entry[] {
		return rows.flatMap((row) => {
			const entry = admitEntry(rowValue(row));
			if (entry.ok) return [entry.value];
			this.#log({ level: 'error', event: 'entry-row-damaged', record: this.entries.record, hash: row.hash });
			return [];
		});
	}

	/** @returns those that were not here before */
	add(entries: readonly Entry[]): Entry[] {
		return entries.filter((entry) => this.entries.add(entry) === 'added');
	}

	/** Looks again at who belongs, if these entries may have changed it; true when it was looked at. */
	learnTrust(fresh: readonly Entry[]): boolean {
		if (!this.#trust.concernedBy(fresh)) return false;
		this.#trust = trustOf(this.entries);
		return true;
	}

	/** Sets those entries that the document does not show; the update that did it, null when it shows all. */
	setAgain(entries: readonly Entry[]): Uint8Array | null {
		const shown = this.#carrier.getMap(ENTRIES_ROOT);
		const hidden = entries.filter((entry) => !shown.has(entry.hash));
		if (hidden.length === 0) return null;
		const { record } = this.entries;
		this.#log({ level: 'warning', event: 'entries-set-again', record, count: hidden.length });
		const update = updateOf(hidden);
		this.apply(update);
		return update;
	}

	/** What a replica with this state vector lacks. */
	missingFrom(theirs: Uint8Array): ReturnType<typeof missingUpdate> {
		return missingUpdate(this.#carrier, theirs);
	}

	stateVector(): Uint8Array {
		return stateVector(this.#carrier);
	}

	destroy(): void {
		this.#carrier.destroy();
	}
}
