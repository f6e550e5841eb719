import { type Draw, normal } from '../random.js';

/** How an indication differs from what it indicates. */
export interface GaugeFigures {
	readonly lagS: number;
	/** Scatter per sample, in the gauge's unit. */
	readonly noiseSd: number;
	readonly resolution: number;
	/** Samples per second. */
	readonly rateHz: number;
	/** Share of samples that do not come. */
	readonly dropShare: number;
}

export interface GaugeSample {
	readonly timeS: number;
	readonly value: number;
}

/**
 * A gauge that lags, scatters, rounds and sometimes says nothing. Feed it every step of the model; it answers on its own
 * clock.
 */
export class Gauge {
	readonly #figures: GaugeFigures;
	readonly #draw: Draw;
	#shown: number | null = null;
	#nextS = 0;
	#frozen: number | null = null;

	constructor(figures: GaugeFigures, draw: Draw) {
		this.#figures = figures;
		this.#draw = draw;
	}

	/** Holds the needle where it is until `thaw`. */
	freeze(): void {
		this.#frozen = this.#shown;
	}

	thaw(): void {
		this.#frozen = null;
	}

	/** @returns a sample when one is due and comes through, else null */
	feel(timeS: number, truth: number, dtS: number): GaugeSample | null {
		const { lagS, noiseSd, resolution, rateHz, dropShare } = this.#figures;
		this.#shown = this.#shown === null || lagS <= dtS ? truth : this.#shown + ((truth - this.#shown) * dtS) / lagS;
		if (timeS + dtS / 2 < this.#nextS) return null;
		this.#nextS += 1 / rateHz;
		const isLost = this.#draw() < dropShare;
		const scatter = noiseSd * normal(this.#draw);
		if (isLost) return null;
		const value = (this.#frozen ?? this.#shown) + scatter;
		return { timeS, value: resolution > 0 ? Math.round(value / resolution) * resolution : value };
	}
}
