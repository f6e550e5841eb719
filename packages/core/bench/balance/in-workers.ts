import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';

/** One cell of the bench: everything in it follows from its seeds, so it does not matter where it is computed. */
export interface BenchTask {
	readonly part: 'convergence' | 'audit';
	readonly id: string;
	readonly rotors: number;
}

/** Computes tasks on all cores, answers in the order of the tasks. */
export async function inWorkers<T>(tasks: readonly BenchTask[], done: (task: BenchTask) => void): Promise<T[]> {
	const answers: T[] = [];
	let next = 0;
	const serve = async () => {
		while (next < tasks.length) {
			const at = next++;
			const task = tasks[at]!;
			answers[at] = await inWorker<T>(task);
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
