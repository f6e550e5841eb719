import type { Blob, HostKeyRow, InviteRow, Membership, RecordWrite, StoredHead, StoredRecord } from '../store.js';
import { asBuffer } from './binding.js';
import type { Connection } from './database.js';

type Row = Readonly<Record<string, unknown>>;

/** Columns come back as the library's own types: bytes as ArrayBuffer, and every row with a field of its own. */
const bytesOf = (value: unknown) => new Uint8Array(value as ArrayBuffer);

/**
 * Writes one record's update, entries and people. Runs inside a transaction of the caller, which calls `markFilled` at
 * its end. An entry that continues a whole chain is whole, and the head of its chain (by a trigger).
 */
export function writeRecord(db: Connection, write: RecordWrite): void {
	const { record, atMs } = write;
	db.run('INSERT INTO transport (record, at_ms, bytes) VALUES (?, ?, ?)', [record, atMs, asBuffer(write.update)]);
	for (const { hash, chain, seq, prev, json } of write.entries) {
		const starts = prev === null && seq === 1 ? 1 : 0;
		db.run(
			`INSERT INTO entry (record, hash, chain, seq, prev, whole, json) VALUES (?, ?, ?, ?, ?, ? OR EXISTS
				(SELECT 1 FROM entry WHERE record = ? AND hash = ? AND chain = ? AND seq = ? AND whole = 1), ?)
			ON CONFLICT DO NOTHING`,
			[record, hash, chain, seq, prev, starts, record, prev, chain, seq - 1, asBuffer(json)],
		);
	}
	for (const person of write.people) {
		db.run(
			`INSERT INTO person (record, key, role, name, revoked) VALUES (?, ?, ?, ?, ?)
			ON CONFLICT (record, key) DO UPDATE SET role = excluded.role, name = excluded.name, revoked = excluded.revoked`,
			[record, person.key, person.role, person.name, person.revoked ? 1 : 0],
		);
	}
}

/** Entries that came before the one they follow, and can now be told to be whole, with all that follow them. */
export function markFilled(db: Connection): void {
	const filled = db.all(
		`SELECT late.record, late.hash, late.chain, late.seq FROM entry AS late JOIN entry AS before
			ON before.record = late.record AND before.hash = late.prev
		WHERE late.whole = 0 AND before.whole = 1 AND before.chain = late.chain AND before.seq = late.seq - 1`,
		[],
	);
	const waiting = filled.map((row) => ({ record: String(row.record), ...toHead(row) }));
	for (let entry = waiting.pop(); entry; entry = waiting.pop()) {
		const { record, hash, chain, seq } = entry;
		db.run('UPDATE entry SET whole = 1 WHERE record = ? AND hash = ? AND whole = 0', [record, hash]);
		const next = db.all(
			'SELECT hash, chain, seq FROM entry WHERE record = ? AND chain = ? AND seq = ? AND prev = ? AND whole = 0',
			[record, chain, seq + 1, hash],
		);
		for (const row of next) waiting.push({ record, ...toHead(row) });
	}
}

const toHead = (row: Row): StoredHead => ({
	chain: String(row.chain),
	seq: Number(row.seq),
	hash: String(row.hash),
});

export function readChainHeads(db: Connection, record: string, chain: string): StoredHead[] {
	return db
		.all('SELECT chain, seq, hash FROM head WHERE record = ? AND chain = ? ORDER BY hash', [record, chain])
		.map(toHead);
}

export function readHeads(db: Connection, record: string): StoredHead[] {
	return db.all('SELECT chain, seq, hash FROM head WHERE record = ? ORDER BY chain, hash', [record]).map(toHead);
}

export function readRecord(db: Connection, record: string): StoredRecord {
	const updates = db.all('SELECT at_ms, bytes FROM transport WHERE record = ? ORDER BY number', [record]);
	const entries = db.all('SELECT hash, chain, seq, prev, json FROM entry WHERE record = ? ORDER BY rowid', [record]);
	const people = db.all('SELECT key, role, name, revoked FROM person WHERE record = ? ORDER BY rowid', [record]);
	return {
		updates: updates.map((row) => ({ atMs: Number(row.at_ms), bytes: bytesOf(row.bytes) })),
		entries: entries.map((row) => ({
			...toHead(row),
			prev: row.prev === null ? null : String(row.prev),
			json: bytesOf(row.json),
		})),
		people: people.map((row) => ({
			key: String(row.key),
			role: String(row.role),
			name: String(row.name),
			revoked: row.revoked === 1,
		})),
	};
}

export function readRecords(db: Connection): string[] {
	return db.all('SELECT id FROM record ORDER BY number', []).map((row) => String(row.id));
}

export function readMemberships(db: Connection, key: string): Membership[] {
	const rows = db.all(
		`SELECT person.record, person.role, person.name, person.revoked FROM person
		JOIN record ON record.id = person.record WHERE person.key = ? ORDER BY record.number`,
		[key],
	);
	return rows.map((row) => ({
		record: String(row.record),
		role: String(row.role),
		name: String(row.name),
		revoked: row.revoked === 1,
	}));
}

export function writeBlob(db: Connection, { record, hash, bytes }: Blob): void {
	db.run('INSERT INTO blob (record, hash, bytes) VALUES (?, ?, ?) ON CONFLICT DO NOTHING', [
		record,
		hash,
		asBuffer(bytes),
	]);
}

export function readBlob(db: Connection, record: string, hash: string): Uint8Array | null {
	const row = db.all('SELECT bytes FROM blob WHERE record = ? AND hash = ?', [record, hash])[0];
	return row ? bytesOf(row.bytes) : null;
}

export function readAllBlobHashes(db: Connection, record: string): string[] {
	return db.all('SELECT hash FROM blob WHERE record = ? ORDER BY rowid', [record]).map((row) => String(row.hash));
}

export function readBlobHashes(db: Connection, record: string, hashes: readonly string[]): string[] {
	return hashes.filter(
		(hash) => db.all('SELECT 1 AS here FROM blob WHERE record = ? AND hash = ?', [record, hash]).length > 0,
	);
}

export function writeInvite(db: Connection, invite: InviteRow): void {
	db.run(
		`INSERT INTO invite (digest, record, role, created_at_ms, expires_at_ms, uses_left, revoked)
		VALUES (?, ?, ?, ?, ?, ?, ?)`,
		[
			invite.digest,
			invite.record,
			invite.role,
			invite.createdAtMs,
			invite.expiresAtMs,
			invite.usesLeft,
			invite.revoked ? 1 : 0,
		],
	);
}

const toInvite = (row: Row): InviteRow => ({
	digest: String(row.digest),
	record: String(row.record),
	role: String(row.role),
	createdAtMs: Number(row.created_at_ms),
	expiresAtMs: Number(row.expires_at_ms),
	usesLeft: Number(row.uses_left),
	revoked: row.revoked === 1,
});

export function readInvite(db: Connection, digest: string): InviteRow | null {
	const row = db.all('SELECT * FROM invite WHERE digest = ?', [digest])[0];
	return row ? toInvite(row) : null;
}

export function readInvites(db: Connection, record: string): InviteRow[] {
	return db.all('SELECT * FROM invite WHERE record = ? ORDER BY rowid', [record]).map(toInvite);
}

/** The test and the spending are one statement, so that two people cannot take the last use. */
export function spendInvite(db: Connection, digest: string, atMs: number): boolean {
	return (
		db.run(
			`UPDATE invite SET uses_left = uses_left - 1
			WHERE digest = ? AND uses_left > 0 AND revoked = 0 AND expires_at_ms > ?`,
			[digest, atMs],
		) === 1
	);
}

export function revokeInvite(db: Connection, digest: string): void {
	db.run('UPDATE invite SET revoked = 1 WHERE digest = ?', [digest]);
}

export function keepHostKey(db: Connection, fresh: HostKeyRow): HostKeyRow {
	db.run('INSERT INTO host_key (id, public_key, secret) VALUES (1, ?, ?) ON CONFLICT DO NOTHING', [
		fresh.publicKey,
		asBuffer(fresh.secret),
	]);
	return readHostKey(db) as HostKeyRow;
}

export function readHostKey(db: Connection): HostKeyRow | null {
	const row = db.all('SELECT public_key, secret FROM host_key', [])[0];
	return row ? { publicKey: String(row.public_key), secret: bytesOf(row.secret) } : null;
}
