import type { Problem, Result } from '@stillmast/core/result';
import type { Cancel } from '../ports.js';

/** One entry as kept on the device: its hash and the RFC 8785 text of the whole entry, hash and signature included. */
export interface EntryText {
	readonly hash: string;
	readonly text: string;
}

/** A row that no longer reads as it was written; kept apart, never thrown away. */
export interface DamagedRow {
	readonly key: string;
	readonly reason: 'checksum' | 'shape';
}

export interface LoadedEntries {
	readonly entries: readonly EntryText[];
	readonly damaged: readonly DamagedRow[];
}

export interface AddReport {
	/** Hashes that were not there before. */
	readonly added: readonly string[];
}

export interface RecordRow {
	/** Record id. */
	readonly key: string;
	/** Host that keeps this record, `null` while it lives on this device only. */
	readonly hostName: string | null;
	readonly hostKey: string | null;
	/** Public key of the pen this device opened or joined the record with. */
	readonly penKey: string;
	readonly role: string;
	/** Declared name of the person, as sent when joining. */
	readonly name: string;
	readonly openedAtMs: number;
	/** What the host had acknowledged at the last contact: for showing while there is no link. */
	readonly storedHeads: readonly (readonly [chain: string, seq: number, hash: string])[];
	readonly lastContactMs: number | null;
}

export interface PenRow {
	/** Public key, base64url. */
	readonly key: string;
	/** Whatever the pen needs to be taken up again; may hold a non-extractable CryptoKey. */
	readonly pen: unknown;
}

export interface InviteRow {
	/** Made by this device, so that the secret is not a key anywhere. */
	readonly key: string;
	readonly secret: string;
	readonly hostName: string;
	readonly savedAtMs: number;
}

/** Small rows beside the entries; `put` replaces by key. */
export interface ShelfRows {
	readonly records: RecordRow;
	readonly pens: PenRow;
	readonly invites: InviteRow;
}

export type Shelf = keyof ShelfRows;

/** `store-full` · `store-closed` · `store-blocked` (another page holds an older version) · `store-failed`. */
export type StoreProblem = Problem & {
	readonly code: 'store-full' | 'store-closed' | 'store-blocked' | 'store-failed';
};

export type StoreResult<T> = Promise<Result<T, StoreProblem>>;

/**
 * What the device remembers. Every method answers with a Result and never rejects.
 * `addEntries` and `addBlob` resolve only when the disk has it (one transaction, strict durability):
 * the words *on this device* rest on that and on nothing else.
 */
export interface LocalStore {
	/** One transaction for all of them; a hash that is there already is left untouched. */
	readonly addEntries: (record: string, entries: readonly EntryText[]) => StoreResult<AddReport>;
	/** All that reads well; rows that don't are moved aside, so that the entry can be kept again when it comes back. */
	readonly loadEntries: (record: string) => StoreResult<LoadedEntries>;
	readonly addBlob: (record: string, hash: string, bytes: Uint8Array) => StoreResult<void>;
	/** `null` when it isn't here or no longer reads as it was written. */
	readonly blob: (record: string, hash: string) => StoreResult<Uint8Array | null>;
	readonly blobHashes: (record: string) => StoreResult<readonly string[]>;
	readonly put: <K extends Shelf>(shelf: K, row: ShelfRows[K]) => StoreResult<void>;
	readonly all: <K extends Shelf>(shelf: K) => StoreResult<readonly ShelfRows[K][]>;
	readonly remove: (shelf: Shelf, key: string) => StoreResult<void>;
	/** Calls when everything that was kept has been taken away from outside (site data cleared), while this page lives. */
	readonly onEmptied: (listener: () => void) => Cancel;
	readonly close: () => void;
}
