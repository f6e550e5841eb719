import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Finished } from './finished.js';

/** A stretch of one cell of the bench: everything in it follows from its seeds, wherever and whenever it is computed. */
export interface BenchTask {
	readonly part: 'convergence' | 'audit';
	readonly id: string;
	readonly firstSeed: number;
	readonly rotors: number;
}

/**
 * Computes tasks on all cores and keeps each answer at once; what is kept already is not computed again. Answers in the
 * order of the tasks; null where `compute` is false and nothing is kept.
 */
export async function inWorkers<T>(
	tasks: readonly BenchTask[],
	finished: Finished,
	compute: boolean,
	done: (task: BenchTask) => void,
): Promise<(T | null)[]> {
	const answers: (T | null)[] = [];
	let next = 0;
	const serve = async () => {
		while (next < tasks.length) {
			const at = next++;
			const task = tasks[at]!;
			const name = `${task.part} ${task.id} ${task.firstSeed} ${task.rotors}`;
			const kept = finished.read(name) as T | undefined;
			answers[at] = kept ?? null;
			if (kept !== undefined || !compute) continue;
			const answer = await inWorker<T>(task);
			answers[at] = answer;
			finished.write(name, answer);
			done(task);
		}
	};
	await Promise.all(Array.from({ length: availableParallelism() }, serve));
	return answers;
}

function inWorker<T>(task: BenchTask): Promise<T> {
	return new Promise((resolve, reject) => {
		const worker = new Worker(new URL('./task-worker.js', import.meta.url), { workerData: task });
		worker.once('message', resolve);
		worker.once('error', reject);
	});
}
