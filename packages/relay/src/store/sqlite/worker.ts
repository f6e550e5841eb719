import { parentPort, receiveMessageOnPort, workerData } from 'node:worker_threads';
import type { Blob, HostKeyRow, InviteRow, RecordWrite, StoredHead } from '../store.js';
import { openConnection } from './database.js';
import type { Answer, Call, WorkerStart } from './messages.js';
import { prepareSchema } from './schema.js';
import * as tables from './tables.js';

/**
 * The thread that owns the database file. While a commit waits for the disk, calls gather in the port; all that have
 * gathered are written in one transaction with one flush (group commit), and answered only after it.
 */
if (!parentPort) throw new Error('the store runs in a worker thread');
const port = parentPort;
const db = openConnection((workerData as WorkerStart).path);
prepareSchema(db);

type Work = (...values: never[]) => unknown;

/** Runs inside the shared transaction; its answer is read after the commit. */
const WRITES: Partial<Record<Call['operation'], Work>> = {
	append: (write: RecordWrite) => tables.writeRecord(db, write),
	putBlob: (blob: Blob) => tables.writeBlob(db, blob),
	putInvite: (invite: InviteRow) => tables.writeInvite(db, invite),
	spendInvite: (digest: string, atMs: number) => tables.spendInvite(db, digest, atMs),
	revokeInvite: (digest: string) => tables.revokeInvite(db, digest),
	keepHostKey: (fresh: HostKeyRow) => tables.keepHostKey(db, fresh),
};

const READS: Partial<Record<Call['operation'], Work>> = {
	hostKey: () => tables.readHostKey(db),
	heads: (record: string) => tables.readHeads(db, record),
	load: (record: string) => tables.readRecord(db, record),
	records: () => tables.readRecords(db),
	memberships: (key: string) => tables.readMemberships(db, key),
	getBlob: (record: string, hash: string) => tables.readBlob(db, record, hash),
	blobHashes: (record: string) => tables.readAllBlobHashes(db, record),
	hasBlobs: (record: string, hashes: readonly string[]) => tables.readBlobHashes(db, record, hashes),
	getInvite: (digest: string) => tables.readInvite(db, digest),
	invites: (record: string) => tables.readInvites(db, record),
	backup: (path: string) => {
		// Never over something that is there: it may be the only good copy.
		db.run('VACUUM INTO ?', [path]);
	},
	finish: () => {
		try {
			db.run('PRAGMA wal_checkpoint(TRUNCATE)', []);
		} catch {
			// A full disk: what was kept stays in the log, which the next opening reads.
		}
	},
	abandon: () => undefined,
};

/** With the port closed nothing keeps the thread alive, and it ends between two native calls, never within one. */
function end(): void {
	db.close();
	port.close();
}

const answers: Answer[] = [];

/** One message for all that is ready: each message between threads costs more than what is in it. */
function sendAnswers(): void {
	if (answers.length > 0) port.postMessage(answers.splice(0));
}

function failed({ id }: Call, error: unknown): Answer {
	const code = error instanceof Error && 'code' in error ? String(error.code) : '';
	return { id, ok: false, message: error instanceof Error ? error.message : String(error), code };
}

/** Writes in one transaction; when it fails, none of them is answered as kept. */
function commitTogether(calls: readonly Call[]): void {
	if (calls.length === 0) return;
	let written = false;
	try {
		const results = db.commit(() => {
			const done = calls.map((call) => (WRITES[call.operation] as Work)(...(call.values as never[])));
			tables.markFilled(db);
			written = true;
			return done;
		});
		// Nothing is committed between these looks, so a chain that several writes touched is looked up once.
		const seen = new Map<string, readonly StoredHead[]>();
		calls.forEach((call, index) => {
			const value = call.operation === 'append' ? headsAfter(call.values[0] as RecordWrite, seen) : results[index];
			answers.push({ id: call.id, ok: true, value });
		});
	} catch (error) {
		// One unfit write must not take those of others along; but a commit that failed is never tried a second time,
		// since the disk may have dropped what it was told to keep.
		if (!written && calls.length > 1) for (const call of calls) commitTogether([call]);
		else for (const call of calls) answers.push(failed(call, error));
	}
	sendAnswers();
}

/** Heads of the chains that a write touched, from committed rows. */
function headsAfter({ record, entries }: RecordWrite, seen: Map<string, readonly StoredHead[]>): StoredHead[] {
	const chains = new Set(entries.map(({ chain }) => chain));
	return [...chains].flatMap((chain) => {
		const place = `${record} ${chain}`;
		const heads = seen.get(place) ?? tables.readChainHeads(db, record, chain);
		seen.set(place, heads);
		return heads;
	});
}

function look(call: Call): void {
	try {
		answers.push({ id: call.id, ok: true, value: (READS[call.operation] as Work)(...(call.values as never[])) });
	} catch (error) {
		answers.push(failed(call, error));
	}
	sendAnswers();
}

port.on('message', (first: readonly Call[]) => {
	const calls = [...first];
	for (let next = receiveMessageOnPort(port); next; next = receiveMessageOnPort(port)) {
		calls.push(...(next.message as readonly Call[]));
	}
	let writes: Call[] = [];
	for (const call of calls) {
		if (call.operation in WRITES) {
			writes.push(call);
			continue;
		}
		// A look must see what was written before it.
		commitTogether(writes);
		writes = [];
		look(call);
		if (call.operation === 'finish' || call.operation === 'abandon') {
			end();
			return;
		}
	}
	commitTogether(writes);
});
