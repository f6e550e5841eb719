import type {
	Blob,
	EntryRow,
	HostKeyRow,
	RecordWrite,
	Store,
	StoredHead,
	StoredRecord,
	StoredUpdate,
} from '@stillmast/relay/rooms';

/** What survives the host's crash: writes that were committed. */
export interface HostDisk {
	readonly updates: StoredUpdate[];
	readonly entries: Map<string, EntryRow>;
	/** By the hash of the entry before, the first of a chain by the chain. */
	readonly following: Map<string, EntryRow>;
	readonly heads: Map<string, StoredHead>;
	readonly blobs: Map<string, Uint8Array>;
	hostKey: HostKeyRow | null;
}

export const hostDisk = (): HostDisk => ({
	updates: [],
	entries: new Map(),
	following: new Map(),
	heads: new Map(),
	blobs: new Map(),
	hostKey: null,
});

export interface HostFaults {
	/** Resolves when a transaction has gone through the disk; never for a host that has crashed meanwhile. */
	readonly settle: () => Promise<void>;
	/** Asked once for each write, in order. */
	readonly fails: () => boolean;
}

/**
 * The host's store for one record, in memory, with the promises of the real one: a write is kept whole or not at all,
 * in order, and heads are read from what is kept.
 */
export function hostStore(disk: HostDisk, faults: HostFaults): Store {
	let queue: Promise<unknown> = Promise.resolve();
	const inOrder = <T>(work: () => T): Promise<T> => {
		const done = queue.then(() => faults.settle()).then(work);
		queue = done.catch(() => undefined);
		return done;
	};
	/** Moves the head of each chain on, as far as nothing is missing. */
	const keep = (row: EntryRow) => {
		if (disk.entries.has(row.hash)) return;
		disk.entries.set(row.hash, row);
		disk.following.set(row.prev ?? row.chain, row);
		const last = disk.heads.get(row.chain);
		for (let next = disk.following.get(last?.hash ?? row.chain); next; next = disk.following.get(next.hash)) {
			disk.heads.set(next.chain, { chain: next.chain, seq: next.seq, hash: next.hash });
		}
	};
	const unused = (): never => {
		throw new Error('not part of the simulation');
	};
	return {
		append: (write: RecordWrite) => {
			const fails = faults.fails();
			return inOrder(() => {
				if (fails) throw new Error('the commit failed');
				disk.updates.push({ atMs: write.atMs, bytes: write.update });
				for (const row of write.entries) keep(row);
				const touched = new Set(write.entries.map((row) => row.chain));
				return [...touched].flatMap((chain) => disk.heads.get(chain) ?? []);
			});
		},
		heads: () => inOrder(() => [...disk.heads.values()]),
		load: () =>
			inOrder((): StoredRecord => ({ updates: [...disk.updates], entries: [...disk.entries.values()], people: [] })),
		records: async () => [],
		memberships: async () => [],
		putBlob: (blob: Blob) => inOrder(() => void disk.blobs.set(blob.hash, blob.bytes)),
		getBlob: (_record, hash) => inOrder(() => disk.blobs.get(hash) ?? null),
		blobHashes: () => inOrder(() => [...disk.blobs.keys()]),
		hasBlobs: (_record, hashes) => inOrder(() => hashes.filter((hash) => disk.blobs.has(hash))),
		putInvite: unused,
		getInvite: unused,
		invites: unused,
		spendInvite: unused,
		revokeInvite: unused,
		hostKey: async () => disk.hostKey,
		keepHostKey: async (fresh) => (disk.hostKey ??= fresh),
		backup: unused,
		reopen: async () => undefined,
		close: async () => undefined,
	};
}
