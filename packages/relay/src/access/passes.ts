import type { Clock, Random } from '../ports.js';

/** Words that stand for something, once and for a short time: nonces and socket tickets. */
export interface Passes<T> {
	/** A new word for `value`; null when too many are outstanding. */
	issue(value: T): string | null;
	/** What the word stands for, the first time within its life; null ever after. */
	take(word: string): T | null;
}

export interface PassOptions {
	readonly clock: Clock;
	readonly random: Random;
	readonly lifeMs: number;
	/** Most words outstanding at a time, so that asking for them cannot fill the memory. */
	readonly limit: number;
}

/** 160 random bits: beyond guessing within any life we give. */
const WORD_BYTES = 20;

export function createPasses<T>({ clock, random, lifeMs, limit }: PassOptions): Passes<T> {
	// All live equally long, so the oldest stands first.
	const outstanding = new Map<string, { readonly value: T; readonly endsMs: number }>();

	function dropExpired(): void {
		const nowMs = clock.monotonicMs();
		for (const [word, { endsMs }] of outstanding) {
			if (endsMs > nowMs) return;
			outstanding.delete(word);
		}
	}

	return {
		issue(value) {
			dropExpired();
			if (outstanding.size >= limit) return null;
			const word = Buffer.from(random(WORD_BYTES)).toString('base64url');
			outstanding.set(word, { value, endsMs: clock.monotonicMs() + lifeMs });
			return word;
		},
		take(word) {
			dropExpired();
			const pass = outstanding.get(word);
			outstanding.delete(word);
			return pass ? pass.value : null;
		},
	};
}
