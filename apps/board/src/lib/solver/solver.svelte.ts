import type { Proposals, RotorProblem } from '@stillmast/core/balance';
import type { Answered, Asked, Tried } from './messages.js';

export type SolverState =
	| { readonly state: 'idle' }
	| { readonly state: 'computing' }
	| { readonly state: 'failed'; readonly code: string }
	| { readonly state: 'done'; readonly proposals: Proposals };

/** Asks the worker and keeps the newest answer; an answer to an older question is passed over. */
export class Solver {
	answer: SolverState = $state.raw({ state: 'idle' });
	tried: Tried | null = $state.raw(null);
	readonly #worker: Worker;
	#count = 0;
	#newestSolve = 0;
	#newestTry = 0;
	#question = '';

	constructor() {
		this.#worker = new Worker(new URL('./solver.worker.ts', import.meta.url), { type: 'module' });
		this.#worker.onmessage = (event: MessageEvent<Answered>) => this.#hear(event.data);
	}

	/** Solves unless this very problem is the one solved or being solved. */
	solve(problem: RotorProblem): void {
		const question = JSON.stringify(problem);
		if (question === this.#question) return;
		this.#question = question;
		if ((problem.runs ?? []).length === 0) {
			this.answer = { state: 'idle' };
			return;
		}
		this.answer = { state: 'computing' };
		this.#newestSolve = this.#ask({ ask: 'solve', problem });
	}

	/** What the next readings would be at these settings. */
	predict(problem: RotorProblem, settings: Readonly<Record<string, number>>): void {
		this.#newestTry = this.#ask({ ask: 'predict', problem, settings });
	}

	stopTrying(): void {
		this.#newestTry = 0;
		this.tried = null;
	}

	close(): void {
		this.#worker.terminate();
	}

	#ask(asked: Omit<Extract<Asked, { ask: 'solve' }>, 'id'> | Omit<Extract<Asked, { ask: 'predict' }>, 'id'>): number {
		this.#count += 1;
		const message = { ...asked, id: this.#count };
		this.#worker.postMessage($state.snapshot(message));
		return this.#count;
	}

	#hear(answered: Answered): void {
		const { answer } = answered;
		if (answered.ask === 'solve' && answered.id === this.#newestSolve) {
			this.answer = answered.answer.ok
				? { state: 'done', proposals: answered.answer.value }
				: { state: 'failed', code: answered.answer.problem.code };
		}
		if (answered.ask === 'predict' && answered.id === this.#newestTry && answer.ok) {
			this.tried = answered.answer.ok ? answered.answer.value : null;
		}
	}
}
