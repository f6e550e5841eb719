import type { ChainHead } from '@stillmast/record/wire';
import type { StoredHead } from '../store/store.js';

/** Heads to be told: a later word on a chain takes the place of an earlier one. */
export class HeadNews {
	readonly #byChain = new Map<string, readonly StoredHead[]>();

	get empty(): boolean {
		return this.#byChain.size === 0;
	}

	/** Heads as one answer of the store names them: all branches of each chain in it. */
	add(heads: readonly StoredHead[]): void {
		for (const chain of new Set(heads.map((head) => head.chain))) {
			this.#byChain.set(
				chain,
				heads.filter((head) => head.chain === chain),
			);
		}
	}

	/** Everything gathered, once. */
	take(): ChainHead[] {
		const heads = [...this.#byChain.values()].flat().map(toWire);
		this.#byChain.clear();
		return heads;
	}
}

export const toWire = ({ chain, seq, hash }: StoredHead): ChainHead => [chain, seq, hash];
