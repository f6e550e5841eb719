import { parentPort } from 'node:worker_threads';
import { ok } from '@stillmast/core/result';
import { fingerprint } from '@stillmast/record/hash';
import { type VerifyingKey, verifyingKey } from '@stillmast/record/pen';
import { judgeUpdate } from './guard.js';
import type { GuardJob, GuardVerdict } from './guard-messages.js';

/**
 * The thread in which updates are read and proved, so that whatever is in one holds up nobody else. It knows no
 * record: keys are named by what they are, so one that was ever seen is good for every record.
 */
if (!parentPort) throw new Error('the guard runs in a worker thread');
const port = parentPort;

/** Keys remembered; the longest known are forgotten first and asked for again. */
const KEYS_KEPT = 10_000;
const keys = new Map<string, Promise<VerifyingKey>>();

function learn(publicKey: string): void {
	const by = fingerprint(publicKey);
	if (keys.has(by)) return;
	keys.set(by, verifyingKey(publicKey));
	for (const oldest of keys.keys()) {
		if (keys.size <= KEYS_KEPT) break;
		keys.delete(oldest);
	}
}

async function judge({ id, record, update, publicKeys }: GuardJob): Promise<GuardVerdict> {
	publicKeys.forEach(learn);
	const verdict = await judgeUpdate(update, record, (by) => keys.get(by));
	if (!verdict.ok) return { id, verdict };
	for (const { pen } of verdict.value.entries) if (pen) learn(pen.publicKey);
	return { id, verdict: ok(verdict.value.texts) };
}

port.on('message', (jobs: readonly GuardJob[]) => {
	void Promise.all(jobs.map(judge)).then((verdicts) => port.postMessage(verdicts));
});
port.postMessage('ready');
