import type { Samples } from './pulse-detector.js';

/**
 * Spreads every sample of a revolution over the four nearest of `points` equal angles by cubic weights, with the share of
 * the revolution it stands for. Sums over the angles with a slow curve (the cosine of an order) are then those over the
 * samples themselves, the curve taken cubic between the angles: no sample is passed over, as they are where a wave is
 * read off at fewer points than it has samples. Weights are worked out once per revolution, for all channels.
 * Source: cubic convolution (weights as R. G. Keys 1981, from memory), transposed.
 */
export class RevolutionSpread {
	/** What the last revolution became: its points, and `reach` more on both sides. */
	readonly wave: Float64Array;
	readonly #points: number;
	readonly #reach: number;
	#firstSample = 0;
	#samples = 0;
	/** Per sample: the first of its four points, and at 4·n its weights, which add up to its share. */
	#cells = new Int32Array(0);
	#weights = new Float64Array(0);

	constructor(points: number, reach: number) {
		this.#points = points;
		this.#reach = reach;
		this.wave = new Float64Array(points + 2 * reach);
	}

	/**
	 * Takes up a revolution from `from` to `to`, in samples of the record. Shares are those of the line through
	 * neighbouring samples: 1 inside, less beside the two ends, and over two revolutions that follow each other 1 again.
	 */
	take(from: number, to: number): void {
		const firstSample = Math.ceil(from) - 1;
		const samples = Math.floor(to) + 2 - firstSample;
		if (samples > this.#cells.length) {
			this.#cells = new Int32Array(2 * samples);
			this.#weights = new Float64Array(8 * samples);
		}
		this.#firstSample = firstSample;
		this.#samples = samples;
		const step = this.#points / (to - from);
		const early = firstSample + 1 - from;
		const late = to - Math.floor(to);
		const beyondStart = (early * early) / 2;
		const beyondEnd = (late * late) / 2;
		const furthest = this.#points + 2 * this.#reach - 3;
		for (let n = 0; n < samples; n++) {
			let share = 1;
			if (n === 0) share = beyondStart;
			if (n === 1) share -= 0.5 - early + beyondStart;
			if (n === samples - 2) share -= 0.5 - late + beyondEnd;
			if (n === samples - 1) share = beyondEnd;
			const place = Math.min(Math.max(this.#reach + (firstSample + n - from) * step, 1), furthest);
			this.#weigh(n, place, share * step);
		}
	}

	#weigh(n: number, place: number, size: number): void {
		const cell = Math.floor(place);
		const f = place - cell;
		const weights = this.#weights;
		const w = 4 * n;
		this.#cells[n] = cell - 1;
		weights[w] = size * f * (-0.5 + f * (1 - 0.5 * f));
		weights[w + 1] = size * (1 + f * f * (-2.5 + 1.5 * f));
		weights[w + 2] = size * f * (0.5 + f * (2 - 1.5 * f));
		weights[w + 3] = size * f * f * (-0.5 + 0.5 * f);
	}

	/**
	 * The revolution of one channel, into `wave`; NaN where a sample of it is missing.
	 * @param samples the column, of which `count` values hold; its first is number `first` of the record
	 */
	spread(samples: Samples, count: number, first: number): Float64Array {
		const { wave } = this;
		wave.fill(0);
		const cells = this.#cells;
		const weights = this.#weights;
		const lastOfRevolution = this.#samples - 1;
		for (let n = 0; n <= lastOfRevolution; n++) {
			const at = this.#firstSample + n - first;
			// at the ends of the record the neighbour outside is taken as the one inside
			const inner = n === 0 ? Math.max(at, 0) : n === lastOfRevolution ? Math.min(at, count - 1) : at;
			const value = inner < count ? (samples[inner] ?? Number.NaN) : Number.NaN;
			const cell = cells[n] as number;
			const w = 4 * n;
			wave[cell] = (wave[cell] as number) + value * (weights[w] as number);
			wave[cell + 1] = (wave[cell + 1] as number) + value * (weights[w + 1] as number);
			wave[cell + 2] = (wave[cell + 2] as number) + value * (weights[w + 2] as number);
			wave[cell + 3] = (wave[cell + 3] as number) + value * (weights[w + 3] as number);
		}
		return wave;
	}
}

/** Points that a sample just outside a revolution of about `samples` samples may reach over its ends. */
export function reachOf(points: number, samples: number): number {
	// half as much again, for revolutions that are faster than the first
	return Math.ceil((1.5 * points) / samples) + 2;
}
