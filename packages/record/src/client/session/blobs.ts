import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { hashBytes } from '../../hash/hash-entry.js';
import { BLOB_BYTES_MAX, type WireMessage } from '../../wire/index.js';
import type { Cancel, ClockPort } from '../ports.js';
import type { LocalStore } from '../store/index.js';

/** A host that has not sent a blob by then is taken not to have it. */
const ANSWER_WITHIN_MS = 20_000;
/** Names in one message; a day's traces are some hundred. */
const NAMES_MAX = 1_000;

interface Waiting {
	readonly resolve: (bytes: Uint8Array | null) => void;
	readonly cancel: Cancel;
}

/** Card, type data, trace chunks and attachments of one record, each named by the SHA-256 of its bytes. */
export class Blobs {
	readonly #store: LocalStore;
	readonly #clock: ClockPort;
	readonly #record: string;
	readonly #send: (message: WireMessage) => void;
	readonly #hostListens: () => boolean;
	/** Kept in memory when the device would not keep them. */
	readonly #unkept = new Map<string, Uint8Array>();
	readonly #waiting = new Map<string, Waiting[]>();
	#closed = false;

	constructor(
		store: LocalStore,
		clock: ClockPort,
		record: string,
		host: { readonly send: (message: WireMessage) => void; readonly listens: () => boolean },
	) {
		this.#store = store;
		this.#clock = clock;
		this.#record = record;
		this.#send = host.send;
		this.#hostListens = host.listens;
	}

	/** Keeps a blob, then offers it to the host. @returns its name; `too-big` above what the host takes */
	async put(bytes: Uint8Array): Promise<Result<string, Problem>> {
		if (bytes.length > BLOB_BYTES_MAX) return fail({ code: 'too-big', found: bytes.length, needed: BLOB_BYTES_MAX });
		const hash = hashBytes(bytes);
		await this.#keep(hash, bytes);
		this.#send({ type: 'have', blobs: [hash] });
		return ok(hash);
	}

	/** The blob from this device, else from the host; `null` when neither has it, or the host is out of reach. */
	async get(hash: string): Promise<Uint8Array | null> {
		const here = await this.#here(hash);
		if (here || this.#closed || !this.#hostListens()) return here;
		return new Promise((resolve) => {
			const waiting: Waiting = {
				resolve,
				cancel: this.#clock.after(ANSWER_WITHIN_MS, () => this.#settle(hash, null)),
			};
			this.#waiting.set(hash, [...(this.#waiting.get(hash) ?? []), waiting]);
			this.#send({ type: 'want', blobs: [hash] });
		});
	}

	/** Names of those that are here. */
	async hashes(): Promise<readonly string[]> {
		const kept = await this.#store.blobHashes(this.#record);
		return [...new Set([...(kept.ok ? kept.value : []), ...this.#unkept.keys()])].sort();
	}

	/** Asks the host for those of `named` that are not here, so that they are at hand when there is no host. */
	async fetch(named: Iterable<string>): Promise<void> {
		const here = new Set(await this.hashes());
		const absent = [...new Set(named)].filter((hash) => !here.has(hash));
		for (let at = 0; at < absent.length; at += NAMES_MAX) {
			this.#send({ type: 'want', blobs: absent.slice(at, at + NAMES_MAX) });
		}
	}

	/** After each sync: names what is here, and the host asks for what it lacks. */
	async offerAll(): Promise<void> {
		const here = await this.hashes();
		for (let at = 0; at < here.length; at += NAMES_MAX) {
			this.#send({ type: 'have', blobs: here.slice(at, at + NAMES_MAX) });
		}
	}

	/** Names that somebody is waiting for. */
	awaited(): Iterable<string> {
		return this.#waiting.keys();
	}

	async hear(message: Extract<WireMessage, { type: 'have' | 'want' | 'blob' }>): Promise<void> {
		if (message.type === 'blob') {
			await this.#receive(message.hash, message.bytes);
			return;
		}
		if (message.type === 'have') {
			// what entries name is needed for signing and reading offline, so it is fetched before anybody asks
			await this.fetch(message.blobs);
			return;
		}
		for (const hash of message.blobs) {
			const bytes = await this.#here(hash);
			if (bytes) this.#send({ type: 'blob', hash, bytes });
		}
	}

	close(): void {
		this.#closed = true;
		for (const hash of [...this.#waiting.keys()]) this.#settle(hash, null);
	}

	async #receive(hash: string, bytes: Uint8Array): Promise<void> {
		if (hashBytes(bytes) !== hash) return;
		await this.#keep(hash, bytes);
	}

	async #keep(hash: string, bytes: Uint8Array): Promise<void> {
		const kept = await this.#store.addBlob(this.#record, hash, bytes);
		this.#settle(hash, bytes);
		if (kept.ok) this.#unkept.delete(hash);
		else this.#unkept.set(hash, bytes);
	}

	async #here(hash: string): Promise<Uint8Array | null> {
		const unkept = this.#unkept.get(hash);
		if (unkept) return unkept;
		const kept = await this.#store.blob(this.#record, hash);
		// the row's checksum says it reads as written; its name says what was meant
		return kept.ok && kept.value && hashBytes(kept.value) === hash ? kept.value : null;
	}

	#settle(hash: string, bytes: Uint8Array | null): void {
		const waiting = this.#waiting.get(hash) ?? [];
		this.#waiting.delete(hash);
		for (const { resolve, cancel } of waiting) {
			cancel();
			resolve(bytes);
		}
	}
}
