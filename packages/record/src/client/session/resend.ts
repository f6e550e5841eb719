import type { Entry } from '@stillmast/formats/entry';
import { updateOf } from '../../carrier/carrier.js';
import type { ClockPort } from '../ports.js';

/** What isn't acknowledged by then goes again. */
const AGAIN_AFTER_MS = 5_000;
/** Entries of others are first of all theirs to send: a slow host must not get everything from everybody. */
const OTHERS_AGAIN_AFTER_MS = 20_000;
/** A host that stays silent about it is asked less and less often. */
const AGAIN_MOST_MS = 60_000;
const BATCH_ENTRIES = 200;
const BATCH_CHARACTERS = 200_000;

interface Batch {
	readonly update: Uint8Array;
	readonly hashes: readonly string[];
	sentAt: number;
	tries: number;
}

/** Groups of entries, each small enough for a message of its own. */
export function inBatches(entries: readonly Entry[]): Entry[][] {
	const batches: Entry[][] = [];
	let characters = 0;
	for (const entry of entries) {
		const size = JSON.stringify(entry).length;
		const last = batches.at(-1);
		if (last && last.length < BATCH_ENTRIES && characters + size <= BATCH_CHARACTERS) {
			last.push(entry);
			characters += size;
		} else {
			batches.push([entry]);
			characters = size;
		}
	}
	return batches;
}

/**
 * Entries on their way to the host. One mechanism for every loss: what was sent and not acknowledged goes again from a
 * document of its own, the same bytes each time, so that sending twice adds nothing to the host's document.
 */
export class Resend {
	readonly #clock: ClockPort;
	/** Since when an entry has been known not to be acknowledged on this connection. */
	readonly #since = new Map<string, number>();
	readonly #batches = new Set<Batch>();
	readonly #batched = new Set<string>();

	constructor(clock: ClockPort) {
		this.#clock = clock;
	}

	/** Makes batches of entries that the host lacks, and counts them as sent now. */
	batch(entries: readonly Entry[]): Uint8Array[] {
		return inBatches(entries.filter((entry) => !this.#batched.has(entry.hash))).map((group) => {
			const batch: Batch = {
				update: updateOf(group),
				hashes: group.map((entry) => entry.hash),
				sentAt: this.#clock.monotonicMs(),
				tries: 1,
			};
			this.#batches.add(batch);
			for (const hash of batch.hashes) {
				this.#batched.add(hash);
				this.#since.delete(hash);
			}
			return batch.update;
		});
	}

	/** A new connection: every batch not acknowledged is due as soon as the host has said what it has. */
	reconnected(): void {
		this.#since.clear();
		for (const batch of this.#batches) batch.tries = 0;
	}

	/**
	 * Updates that are due; to be asked every second while the host listens.
	 * @param unstored what the host has not acknowledged   @param isOwn written by this page
	 */
	due(
		unstored: ReadonlySet<string>,
		entryOf: (hash: string) => Entry | undefined,
		isOwn: (entry: Entry) => boolean,
	): Uint8Array[] {
		const now = this.#clock.monotonicMs();
		for (const hash of this.#since.keys()) if (!unstored.has(hash)) this.#since.delete(hash);
		const again = this.#dueBatches(unstored, now);
		const overdue: Entry[] = [];
		for (const hash of unstored) {
			if (this.#batched.has(hash)) continue;
			const since = this.#since.get(hash);
			if (since === undefined) this.#since.set(hash, now);
			else if (now - since >= AGAIN_AFTER_MS) {
				const entry = entryOf(hash);
				if (entry && (now - since >= OTHERS_AGAIN_AFTER_MS || isOwn(entry))) overdue.push(entry);
			}
		}
		return [...again, ...this.batch(overdue)];
	}

	#dueBatches(unstored: ReadonlySet<string>, now: number): Uint8Array[] {
		const due: Uint8Array[] = [];
		for (const batch of this.#batches) {
			if (!batch.hashes.some((hash) => unstored.has(hash))) {
				this.#batches.delete(batch);
				for (const hash of batch.hashes) this.#batched.delete(hash);
			} else if (now - batch.sentAt >= waitMs(batch.tries)) {
				batch.sentAt = now;
				batch.tries += 1;
				due.push(batch.update);
			}
		}
		return due;
	}
}

function waitMs(tries: number): number {
	return tries === 0 ? 0 : Math.min(AGAIN_MOST_MS, AGAIN_AFTER_MS * 2 ** (tries - 1));
}
