/** Enough for a share of 95 in 100, and no more than half a minute at 20 a second. */
const kept = 600;

/** Newest times of one kind, for saying how large 95 in 100 of them are. Bounded. */
export class Lags {
	#timesMs: number[] = [];

	add(ms: number): void {
		if (!Number.isFinite(ms)) return;
		this.#timesMs.push(Math.max(0, ms));
		if (this.#timesMs.length > 2 * kept) this.#timesMs = this.#timesMs.slice(-kept);
	}

	get count(): number {
		return this.#timesMs.length;
	}

	/** 95 in 100 are at most this; null before the first. */
	get p95Ms(): number | null {
		const sorted = this.#timesMs.slice(-kept).sort((a, b) => a - b);
		return sorted[Math.max(0, Math.ceil(0.95 * sorted.length) - 1)] ?? null;
	}
}
