import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import type { Store } from '../store.js';
import type { Answer, Call, Operation, WorkerStart } from './messages.js';

interface Waiting {
	readonly resolve: (value: never) => void;
	readonly reject: (error: Error) => void;
}

/** A call on the store that did not go through; nothing of it is known to be kept. */
export class StoreError extends Error {
	override readonly name = 'StoreError';
	/** The database's own word for it, such as `SQLITE_FULL`; empty when it said none. */
	readonly code: string;

	constructor(message: string, code = '') {
		super(message);
		this.code = code;
	}
}

/**
 * Keeps everything in one SQLite file at `path`, written by a thread of its own so that the flush to disk never holds
 * up the sockets. Rejects when the file cannot be opened.
 */
export async function openSqliteStore(path: string): Promise<Store> {
	// Calls made while the store is being opened anew wait for that.
	let thread = startThread(path);
	await thread;

	const call = async <T>(operation: Operation, ...values: readonly unknown[]) =>
		(await thread).call<T>(operation, values);
	return {
		append: (write) => call('append', write),
		heads: (record) => call('heads', record),
		load: (record) => call('load', record),
		records: () => call('records'),
		memberships: (key) => call('memberships', key),
		putBlob: (blob) => call('putBlob', blob),
		getBlob: (record, hash) => call('getBlob', record, hash),
		blobHashes: (record) => call('blobHashes', record),
		hasBlobs: (record, hashes) => call('hasBlobs', record, hashes),
		putInvite: (invite) => call('putInvite', invite),
		getInvite: (digest) => call('getInvite', digest),
		invites: (record) => call('invites', record),
		spendInvite: (digest, atMs) => call('spendInvite', digest, atMs),
		revokeInvite: (digest) => call('revokeInvite', digest),
		hostKey: () => call('hostKey'),
		keepHostKey: (fresh) => call('keepHostKey', fresh),
		backup: (target) => call('backup', target),
		async reopen() {
			const failed = thread;
			// A new thread, not only a new connection: nothing of the one that failed is used again.
			thread = failed
				.then((old) => old.end('abandon'))
				.catch(() => undefined)
				.then(() => startThread(path));
			await thread;
		},
		async close() {
			await (await thread).end('finish');
		},
	};
}

interface StoreThread {
	call<T>(operation: Call['operation'], values: readonly unknown[]): Promise<T>;
	/** Answers what was asked before, then ends; everything asked afterwards is rejected. */
	end(how: 'finish' | 'abandon'): Promise<void>;
}

async function startThread(path: string): Promise<StoreThread> {
	const start: WorkerStart = { path };
	const worker = new Worker(new URL('./worker.js', import.meta.url), { workerData: start });
	const waiting = new Map<number, Waiting>();
	/** Calls of this turn of the event loop, sent as one message. */
	const outgoing: Call[] = [];
	let lastId = 0;
	let ended: StoreError | null = null;
	const exited = once(worker, 'exit');
	exited.catch(() => undefined);

	function fail(reason: string): void {
		const error = new StoreError(reason);
		ended ??= error;
		for (const { reject } of waiting.values()) reject(error);
		waiting.clear();
	}

	worker.on('message', (answers: readonly Answer[]) => {
		for (const answer of answers) {
			const caller = waiting.get(answer.id);
			waiting.delete(answer.id);
			if (answer.ok) caller?.resolve(answer.value as never);
			else caller?.reject(new StoreError(answer.message, answer.code));
		}
	});
	worker.on('error', (error) => fail(error.message));
	worker.on('exit', () => fail('the store is closed'));
	// `once` rejects when the thread throws while it opens the file.
	await once(worker, 'online');

	function ask<T>(operation: Call['operation'], values: readonly unknown[]): Promise<T> {
		if (ended) return Promise.reject(ended);
		const id = ++lastId;
		return new Promise((resolve, reject) => {
			waiting.set(id, { resolve, reject });
			if (outgoing.length === 0) setImmediate(() => worker.postMessage(outgoing.splice(0)));
			outgoing.push({ id, operation, values });
		});
	}

	const thread: StoreThread = {
		call: ask,
		async end(how) {
			// Never by terminate(): a thread stopped within a call of the native library takes the process with it.
			const finished = ask(how, []);
			ended ??= new StoreError('the store is closed');
			await finished.finally(() => exited);
		},
	};
	// The thread is online before it has opened the file: ask once, so that a bad path is an error of opening.
	await thread.call('records', []);
	return thread;
}
