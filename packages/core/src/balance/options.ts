import type { Proposal } from './answer.js';

/** How `solveRotor` works; the answer depends on `seed` and `draws` only, unless a budget cuts the proof short. */
export interface SolveOptions {
	/** Seed of the draws; 1 unless stated. */
	readonly seed?: number | undefined;
	/** Draws for joint chances; 4000 unless stated. */
	readonly draws?: number | undefined;
	/** Clock in ms, for the budget only. */
	readonly nowMs?: (() => number) | undefined;
	/** Time for the search of settings; without it every proposal is carried to its proof. */
	readonly budgetMs?: number | undefined;
	/** Each proposal as soon as it is known, and again when it improves. */
	readonly onProgress?: ((proposal: Proposal) => void) | undefined;
	/** Asked now and then; true ends the search with what is known. */
	readonly stop?: (() => boolean) | undefined;
}
