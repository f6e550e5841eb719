import type { PulseColumn } from './setup.js';

/** A column of samples; readers hand on whichever they have. */
export type Samples = Float64Array | Float32Array;

/**
 * Finds pulses in a column that arrives in pieces. A pulse is a crossing of the threshold, placed between two samples by
 * a straight line; after it the signal must come back beyond the hysteresis before another counts. Times are in samples
 * from the start of the column, as fractions. Samples that are not numbers end a pulse and start none.
 */
export class PulseDetector {
	readonly #sign: 1 | -1;
	readonly #level: number;
	readonly #rearm: number;
	readonly #centre: boolean;
	#previous = Number.NaN;
	#at = 0;
	/** Above the threshold and not yet back. */
	#high = false;
	/** Nothing was seen below yet: a column that starts inside a pulse gives no pulse. */
	#armed = false;
	#roseAt = 0;
	#fellAt = 0;

	constructor(pulse: PulseColumn) {
		this.#sign = pulse.edge === 'falling' ? -1 : 1;
		this.#level = this.#sign * pulse.threshold;
		this.#rearm = this.#level - pulse.hysteresis;
		this.#centre = pulse.edge === 'centre';
	}

	/** Takes the next piece and appends the times found, in samples, to `times`. */
	push(piece: Samples, times: number[]): void {
		const level = this.#level;
		const rearm = this.#rearm;
		let previous = this.#previous;
		for (let k = 0; k < piece.length; k++) {
			const value = this.#sign * (piece[k] as number);
			if (this.#high) {
				// the last fall through the level counts: noise may cross it several times before the signal is back
				if (previous >= level && value < level) this.#fellAt = crossing(this.#at + k, previous, value, level);
				if (value < rearm || (value === rearm && rearm < level)) {
					this.#high = false;
					if (this.#centre) times.push((this.#roseAt + this.#fellAt) / 2);
				}
			} else if (value >= level) {
				if (this.#armed && previous < level) {
					this.#roseAt = crossing(this.#at + k, previous, value, level);
					if (!this.#centre) times.push(this.#roseAt);
					this.#high = true;
				}
			} else if (value < level) this.#armed = true;
			previous = value;
		}
		this.#previous = previous;
		this.#at += piece.length;
	}
}

/** Where the line from the sample before `at` to the one at `at` meets the level. */
function crossing(at: number, before: number, after: number, level: number): number {
	return at - 1 + (level - before) / (after - before);
}
