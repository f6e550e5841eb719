import type { Store } from './store.js';

/**
 * Copies everything that one store keeps into another that is empty: how a database on a server is backed up into a
 * file, how a file is restored, and how a host moves from the one to the other. Each record is whole by itself, since a
 * write never touches two; what is written meanwhile may or may not be in the copy.
 */
export async function copyStore(from: Store, to: Store): Promise<void> {
	for (const record of await from.records()) {
		const { updates, entries, people } = await from.load(record);
		for (const [index, { atMs, bytes }] of updates.entries()) {
			const rest = index === 0 ? { entries, people } : { entries: [], people: [] };
			await to.append({ record, atMs, update: bytes, ...rest });
		}
		for (const hash of await from.blobHashes(record)) {
			const bytes = await from.getBlob(record, hash);
			if (bytes) await to.putBlob({ record, hash, bytes });
		}
		for (const invite of await from.invites(record)) await to.putInvite(invite);
	}
	const key = await from.hostKey();
	if (key) await to.keepHostKey(key);
}
