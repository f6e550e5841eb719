import type { SteadyPeriod } from '$lib/parts/steady/steady-timer.view.js';

/** What is being held, and since when. */
interface Running {
	readonly id: string;
	readonly neededS: number;
	readonly sinceMs: number;
}

const tickMs = 200;
/** A tap that is taken back at once was a slip. */
const slipS = 2;

export interface Held {
	readonly id: string;
	readonly neededS: number;
	readonly heldS: number;
	readonly complete: boolean;
}

/**
 * The clock of a steady period that a pen declares: it runs from one tap to the next, and ends by itself when the whole
 * time was held. What was held goes to `onheld`.
 */
export class SteadyClock {
	readonly #nowMs: () => number;
	readonly #onheld: (held: Held) => void;
	#running: Running | null = $state.raw(null);
	#atMs = $state(0);
	#ticking: ReturnType<typeof setInterval> | null = null;

	constructor(nowMs: () => number, onheld: (held: Held) => void) {
		this.#nowMs = nowMs;
		this.#onheld = onheld;
	}

	get runningId(): string | null {
		return this.#running?.id ?? null;
	}

	get heldS(): number {
		return this.#running === null ? 0 : Math.max(0, (this.#atMs - this.#running.sinceMs) / 1000);
	}

	start(id: string, neededS: number): void {
		this.#stopTicking();
		this.#atMs = this.#nowMs();
		this.#running = { id, neededS, sinceMs: this.#atMs };
		this.#ticking = setInterval(() => this.#tick(), tickMs);
	}

	/** Not steady any more: what was held so far is told, whole or not. */
	stop(): void {
		const running = this.#running;
		this.#atMs = this.#nowMs();
		const { heldS } = this;
		this.#stopTicking();
		this.#running = null;
		if (running !== null && heldS > slipS) {
			this.#onheld({ id: running.id, neededS: running.neededS, heldS, complete: heldS >= running.neededS });
		}
	}

	/** How the period stands, for the drawing. */
	period(part: { readonly id: string; readonly neededS: number; readonly isHeld: boolean }, pen: string): SteadyPeriod {
		const { neededS } = part;
		if (this.runningId === part.id) return { neededS, heldS: this.heldS, state: 'declared', pen };
		return part.isHeld ? { neededS, heldS: neededS, state: 'done' } : { neededS, heldS: 0, state: 'waiting' };
	}

	close(): void {
		this.#stopTicking();
	}

	#tick(): void {
		this.#atMs = this.#nowMs();
		if (this.#running !== null && this.heldS >= this.#running.neededS) this.stop();
	}

	#stopTicking(): void {
		if (this.#ticking !== null) clearInterval(this.#ticking);
		this.#ticking = null;
	}
}
