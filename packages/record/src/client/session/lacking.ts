import type { ClockPort } from '../ports.js';

const FIRST_MS = 5_000;
const MOST_MS = 60_000;
/** Every so many questions in vain the document is rebuilt: it may hide what the host believes it has told. */
const ANEW_EVERY = 3;

/** Decides when to ask the host again for what is known to be missing here. */
export class Lacking {
	readonly #clock: ClockPort;
	#askedAt: number;
	#tries = 0;
	#count = 0;

	constructor(clock: ClockPort) {
		this.#clock = clock;
		this.#askedAt = clock.monotonicMs();
	}

	/** A connection has begun, and with it a full question. */
	begin(): void {
		this.#askedAt = this.#clock.monotonicMs();
		this.#tries = 0;
		this.#count = 0;
	}

	/** @param count entries that are missing   @returns what to do now: nothing, ask, or ask with an empty document */
	next(count: number): 'wait' | 'ask' | 'ask-anew' {
		const now = this.#clock.monotonicMs();
		if (count !== this.#count) {
			// something came, or more is missing than before: start patient again
			this.#count = count;
			this.#tries = 0;
			this.#askedAt = now;
		}
		if (count === 0 || now - this.#askedAt < Math.min(MOST_MS, FIRST_MS * 2 ** this.#tries)) return 'wait';
		this.#askedAt = now;
		this.#tries += 1;
		return this.#tries % ANEW_EVERY === 0 ? 'ask-anew' : 'ask';
	}
}
