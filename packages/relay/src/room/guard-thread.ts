import { Worker } from 'node:worker_threads';
import { fail, ok, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import type { Cancel, Clock, Log } from '../ports.js';
import type { GuardProblem, Judged, UpdateGuard } from './guard.js';
import type { GuardJob, GuardVerdict } from './guard-messages.js';

/** What one frame's worth of update may take; a larger update gets it for every frame's worth. */
const LIMIT_MS = 200;
/** For an update judged by itself: the machine may have been busy with something else, which is not the sender's fault. */
const LIMIT_ALONE_MS = 1_000;
const LIMIT_BYTES = 64 * 1024;
/** Updates handed over together while the thread is at work on others. */
const TOGETHER_MAX = 64;

interface Waiting {
	readonly job: GuardJob;
	readonly settle: (verdict: Result<Judged, GuardProblem>) => void;
	/** Judged by itself, after the lot that it came in took too long. */
	alone: boolean;
}

/**
 * Judges updates in a thread of their own, with a limit on the time that one may take: a thread that does not answer
 * is ended and started anew, and only the update that held it up is turned away.
 */
export function startGuardThread({ clock, log }: { readonly clock: Clock; readonly log: Log }): UpdateGuard {
	const queue: Waiting[] = [];
	let lot: Waiting[] = [];
	let lastId = 0;
	let cancelLimit: Cancel = () => undefined;
	let stopped = false;
	/** Loading the thread's own modules is not held against the first update. */
	let ready = false;
	let worker = start();

	function start(): Worker {
		ready = false;
		const fresh = new Worker(new URL('./guard-worker.js', import.meta.url));
		fresh.on('message', (message: 'ready' | readonly GuardVerdict[]) => {
			if (fresh !== worker) return;
			if (message === 'ready') {
				ready = true;
				next();
				return;
			}
			const verdicts = message;
			cancelLimit();
			const judged = lot;
			lot = [];
			judged.forEach(({ settle }, index) => {
				const answer = verdicts[index];
				if (answer) settle(judgedOf(answer));
			});
			next();
		});
		fresh.on('error', (error) => {
			if (fresh === worker) giveUp(`guard thread failed: ${error.message}`);
		});
		fresh.unref();
		return fresh;
	}

	function next(): void {
		if (!ready || lot.length > 0 || queue.length === 0 || stopped) return;
		const alone = queue[0]?.alone === true;
		lot = alone ? queue.splice(0, 1) : takeLot();
		const bytes = lot.reduce((sum, { job }) => sum + job.update.length, 0);
		const frames = lot.length + Math.floor(bytes / LIMIT_BYTES);
		cancelLimit = clock.after((alone ? LIMIT_ALONE_MS : LIMIT_MS) * frames, () => giveUp('guard took too long'));
		worker.postMessage(lot.map(({ job }) => job));
	}

	function takeLot(): Waiting[] {
		const firstAlone = queue.findIndex(({ alone }) => alone);
		return queue.splice(0, Math.min(firstAlone < 0 ? queue.length : firstAlone, TOGETHER_MAX));
	}

	function giveUp(reason: string): void {
		cancelLimit();
		log({ level: 'warning', event: 'guard-restarted', reason, updates: lot.length });
		const old = worker;
		worker = start();
		void old.terminate();
		const held = lot;
		lot = [];
		const [only] = held;
		if (only?.alone) only.settle(fail({ code: 'too-slow' }));
		else queue.unshift(...held.map((waiting) => ({ ...waiting, alone: true })));
		next();
	}

	function ask(
		record: string,
		update: Uint8Array,
		publicKeys: readonly string[],
	): Promise<Result<Judged, GuardProblem>> {
		return new Promise((settle) => {
			queue.push({ job: { id: ++lastId, record, update, publicKeys }, settle, alone: false });
			next();
		});
	}

	return {
		async judge(update, known) {
			// A clone of part of a buffer would carry the whole of it along.
			const own = update.byteLength === update.buffer.byteLength ? update : update.slice();
			const first = await ask(known.record, own, []);
			if (first.ok || first.problem.code !== 'key-unknown') return first;
			const publicKeys = first.problem.found.flatMap((by) => known.publicKeyOf(by) ?? []);
			return publicKeys.length === 0 ? first : ask(known.record, own, publicKeys);
		},
		async stop() {
			stopped = true;
			cancelLimit();
			for (const { settle } of [...lot, ...queue]) settle(fail({ code: 'too-slow' }));
			await worker.terminate();
		},
	};
}

function judgedOf({ verdict }: GuardVerdict): Result<Judged, GuardProblem> {
	if (!verdict.ok) return verdict;
	const texts = verdict.value;
	// Entries that the guard's own thread has admitted.
	return ok({ entries: texts.map((text) => JSON.parse(text) as Entry), texts });
}
