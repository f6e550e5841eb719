/**
 * Says when a rising quantity will pass a line soon at its filtered rate. Ahead of a limit, never instead of watching
 * it: no warning does not mean that nothing was passed.
 */
export class LookAhead {
	readonly #line: number;
	readonly #aheadS: number;
	#last: { readonly timeS: number; readonly value: number } | null = null;
	#ratePerS = 0;
	#isWarned = false;

	/** @param aheadS how long before the line the warning comes */
	constructor(line: number, aheadS: number) {
		this.#line = line;
		this.#aheadS = aheadS;
	}

	get isWarned(): boolean {
		return this.#isWarned;
	}

	/** @param timeS later than the sample before; others are passed over */
	hear(timeS: number, value: number): void {
		const last = this.#last;
		if (last !== null && timeS <= last.timeS) return;
		if (last !== null) {
			const dtS = timeS - last.timeS;
			const share = dtS / (dtS + filterS);
			this.#ratePerS += share * ((value - last.value) / dtS - this.#ratePerS);
		}
		this.#last = { timeS, value };
		this.#isWarned = value + Math.max(0, this.#ratePerS) * this.#aheadS > this.#line;
	}
}

/** Scatter of a gauge's samples must not warn by itself. */
const filterS = 0.12;
