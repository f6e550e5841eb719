import type { Problem } from '@stillmast/core/result';

const MOST = 50;

/** The latest problems, each once: what happens again moves to the end. */
export class Problems {
	#list: Problem[] = [];

	get list(): readonly Problem[] {
		return this.#list;
	}

	add(problem: Problem): void {
		const name = nameOf(problem);
		this.#list = [...this.#list.filter((known) => nameOf(known) !== name), problem].slice(-MOST);
	}
}

function nameOf({ code, found, path }: Problem): string {
	return JSON.stringify([code, found ?? null, path ?? null]);
}
