const tickMs = 50;
/** Three, two, one: a second each, then go. */
export const countS = 3;

/** The crew's call of a timed movement: a count of three, then the time until somebody ends it. */
export class RampCall {
	readonly #nowMs: () => number;
	#goMs: number | null = $state(null);
	#atMs = $state(0);
	#ticking: ReturnType<typeof setInterval> | null = null;

	constructor(nowMs: () => number) {
		this.#nowMs = nowMs;
	}

	/** Seconds since go; negative while it is counted, null when nothing is called. */
	get timeS(): number | null {
		return this.#goMs === null ? null : (this.#atMs - this.#goMs) / 1000;
	}

	begin(): void {
		this.close();
		this.#atMs = this.#nowMs();
		this.#goMs = this.#atMs + countS * 1000;
		this.#ticking = setInterval(() => {
			this.#atMs = this.#nowMs();
		}, tickMs);
	}

	/** The time from go to this moment; null before go, when there was no movement. */
	end(): number | null {
		this.#atMs = this.#nowMs();
		const { timeS } = this;
		this.close();
		return timeS === null || timeS <= 0 ? null : timeS;
	}

	close(): void {
		if (this.#ticking !== null) clearInterval(this.#ticking);
		this.#ticking = null;
		this.#goMs = null;
	}
}
