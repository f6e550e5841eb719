/**
 * What the relay asks of a place that keeps records. One contract, one suite of tests (`test/store-contract.ts`).
 * Every promise that resolves means *flushed to disk*; a rejected one means nothing of that write is known to be kept.
 */

/** One entry as it is kept: `json` is its RFC 8785 form with hash and signature, as UTF-8 bytes. */
export interface EntryRow {
	readonly hash: string;
	readonly chain: string;
	readonly seq: number;
	/** Hash of the entry before it in its chain; null for the first. */
	readonly prev: string | null;
	readonly json: Uint8Array;
}

/** Key and role as the entries of a record establish them; derived from the entries, kept to be found by key. */
export interface PersonRow {
	readonly key: string;
	readonly role: string;
	readonly name: string;
	readonly revoked: boolean;
}

/** Everything that one accepted update, or one import, adds to a record. Kept whole or not at all. */
export interface RecordWrite {
	readonly record: string;
	/** Time of receipt, milliseconds since 1970 UTC by the relay's clock; for showing, never for deciding. */
	readonly atMs: number;
	/** The transport bytes as they came, so that state vectors stay the same over a restart. */
	readonly update: Uint8Array;
	readonly entries: readonly EntryRow[];
	/** Rows that replace those of the same key. */
	readonly people: readonly PersonRow[];
}

/** Last entry of a chain up to which every entry is kept. A forked chain has one for each branch. */
export interface StoredHead {
	readonly chain: string;
	readonly seq: number;
	readonly hash: string;
}

export interface StoredUpdate {
	readonly atMs: number;
	readonly bytes: Uint8Array;
}

export interface StoredRecord {
	/** In the order in which they were committed. */
	readonly updates: readonly StoredUpdate[];
	readonly entries: readonly EntryRow[];
	readonly people: readonly PersonRow[];
}

/** What another relay on the same store has added to a record. */
export interface WriteElsewhere {
	readonly record: string;
	readonly update: Uint8Array;
	readonly entries: readonly EntryRow[];
	/** Heads of the chains of `entries`, read from committed rows. */
	readonly heads: readonly StoredHead[];
}

export interface ElsewhereListener {
	onWrite(write: WriteElsewhere): void;
	/** Word of some writes may have been lost: whatever is open has to be read again. */
	onGap(): void;
}

export interface Blob {
	readonly record: string;
	readonly hash: string;
	readonly bytes: Uint8Array;
}

/** An invitation; the secret itself is never kept, only its SHA-256 digest. */
export interface InviteRow {
	readonly digest: string;
	readonly record: string;
	readonly role: string;
	readonly createdAtMs: number;
	readonly expiresAtMs: number;
	readonly usesLeft: number;
	readonly revoked: boolean;
}

export interface HostKeyRow {
	/** Raw Ed25519 public key, base64url. */
	readonly publicKey: string;
	/** The 32 bytes of the secret key (RFC 8032). */
	readonly secret: Uint8Array;
}

/** A person as found by key over all records. */
export interface Membership {
	readonly record: string;
	readonly role: string;
	readonly name: string;
	readonly revoked: boolean;
}

export interface Store {
	/**
	 * Keeps a write and answers with the heads of the chains it touches, read from committed rows.
	 * An entry that is there already is left as it is. Writes of one record keep their order.
	 */
	append(write: RecordWrite): Promise<readonly StoredHead[]>;
	/** Heads of every chain of a record, read from committed rows. */
	heads(record: string): Promise<readonly StoredHead[]>;
	/** Everything kept of a record; both lists empty when it is not here. */
	load(record: string): Promise<StoredRecord>;
	/** Ids of all records here, oldest first. */
	records(): Promise<readonly string[]>;
	/** Records in which a key stands, oldest first. */
	memberships(key: string): Promise<readonly Membership[]>;

	/** A blob that is there already is left as it is. */
	putBlob(blob: Blob): Promise<void>;
	getBlob(record: string, hash: string): Promise<Uint8Array | null>;
	/** Names of all blobs of a record, in the order in which they came. */
	blobHashes(record: string): Promise<readonly string[]>;
	/** Those of `hashes` that are here. */
	hasBlobs(record: string, hashes: readonly string[]): Promise<readonly string[]>;

	putInvite(invite: InviteRow): Promise<void>;
	getInvite(digest: string): Promise<InviteRow | null>;
	invites(record: string): Promise<readonly InviteRow[]>;
	/** Spends one use in one step; false when none is left, it has expired at `atMs` or was revoked. */
	spendInvite(digest: string, atMs: number): Promise<boolean>;
	revokeInvite(digest: string): Promise<void>;

	hostKey(): Promise<HostKeyRow | null>;
	/** Keeps the key if there is none yet; answers with the one that is kept. */
	keepHostKey(fresh: HostKeyRow): Promise<HostKeyRow>;

	/** Hears of writes by other relays on the same store; absent where there can be none. */
	listenElsewhere?(listener: ElsewhereListener): Promise<void>;

	/**
	 * Writes a whole copy as an SQLite file while the store goes on working; everything handed over before is in it.
	 * `path` must not exist.
	 */
	backup(path: string): Promise<void>;
	/** After a failed commit: lets go of the old connection and opens the same store anew. */
	reopen(): Promise<void>;
	/** Resolves when everything handed over before is kept and the store is closed. */
	close(): Promise<void>;
}
