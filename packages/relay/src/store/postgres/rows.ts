import type { EntryRow, HostKeyRow, InviteRow, Membership, PersonRow, StoredHead, StoredUpdate } from '../store.js';

/** Rows as the driver gives them: bigint as text, bytea as Buffer. */
type Row = Readonly<Record<string, unknown>>;

/** A copy of its own: the driver's buffers are parts of larger ones. */
export const bytesOf = (value: unknown): Uint8Array => new Uint8Array(value as Buffer);

export function asBuffer(bytes: Uint8Array): Buffer {
	return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/** The text of a one-dimensional array, which the driver passes on as it is; the query names the element type. */
export function asArray(values: readonly (string | number | null)[]): string {
	const elements = values.map((value) => (value === null ? 'NULL' : `"${String(value).replace(/["\\]/g, '\\$&')}"`));
	return `{${elements.join(',')}}`;
}

export const toHead = (row: Row): StoredHead => ({
	chain: String(row.chain),
	seq: Number(row.seq),
	hash: String(row.hash),
});

export const toUpdate = (row: Row): StoredUpdate => ({ atMs: Number(row.at_ms), bytes: bytesOf(row.bytes) });

export const toEntry = (row: Row): EntryRow => ({
	...toHead(row),
	prev: row.prev === null ? null : String(row.prev),
	json: bytesOf(row.json),
});

export const toPerson = (row: Row): PersonRow => ({
	key: String(row.key),
	role: String(row.role),
	name: String(row.name),
	revoked: row.revoked === true,
});

export const toMembership = (row: Row): Membership => ({
	record: String(row.record),
	role: String(row.role),
	name: String(row.name),
	revoked: row.revoked === true,
});

export const toInvite = (row: Row): InviteRow => ({
	digest: String(row.digest),
	record: String(row.record),
	role: String(row.role),
	createdAtMs: Number(row.created_at_ms),
	expiresAtMs: Number(row.expires_at_ms),
	usesLeft: Number(row.uses_left),
	revoked: row.revoked === true,
});

export const toHostKey = (row: Row): HostKeyRow => ({
	publicKey: String(row.public_key),
	secret: bytesOf(row.secret),
});
