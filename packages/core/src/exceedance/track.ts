/** Whether something held: surely, maybe, or surely not; as a bit mask of *may* and *sure*. */
export type Status = 0 | 1 | 3;
export const never: Status = 0;
export const maybe: Status = 1;
export const surely: Status = 3;

/** A sample's instant (`from` = `to`) or the open time between two boundaries. */
export interface Piece {
	readonly from: number;
	to: number;
	readonly status: Status;
	/** Furthest value possible in the piece, in the sense of the line; Infinity where no slew bounds it. */
	readonly reach: number;
	/** The sample at an instant. */
	readonly sample: number;
	/** Between two samples on the good side, too far apart to exclude a visit. */
	readonly hidden: 'gap' | 'slow-sampling' | null;
	/** Samples further apart than half of the shortest time. */
	readonly wide: boolean;
}

export interface TrackRules {
	readonly shortestS: number;
	/** Infinity where not stated. */
	readonly slewPerSecond: number;
	/** Own period of the column; NaN to learn it from the samples. */
	readonly periodS: number;
	/** Held between equal samples, whatever their distance: recorded states. */
	readonly held: boolean;
	/** Neighbouring pieces of one status are one: for conditions, whose values nobody asks for later. */
	readonly merge: boolean;
}

/**
 * One statement about one column, sample by sample: at each sample it is true, false or unknown with a depth (how far
 * from changing, ≥ 0, in the column's unit); between samples it is bounded by the shortest time or by the slew.
 * @rule EXC-2 EXC-3
 */
export class Track {
	readonly pieces: Piece[] = [];
	readonly #rules: TrackRules;
	#atS = Number.NaN;
	#status: Status = maybe;
	#depth = 0;
	#value = Number.NaN;
	#periodS: number;
	/** Everything before is told. */
	untilS = Number.NEGATIVE_INFINITY;

	constructor(rules: TrackRules) {
		this.#rules = rules;
		this.#periodS = rules.periodS;
	}

	/** @param depth distance of the sample from the bound; @param value in the sense of the line: larger is worse */
	push(timeS: number, status: Status, depth: number, value: number): void {
		const beforeS = this.#atS;
		if (Number.isNaN(beforeS)) this.#beginAt(timeS);
		else this.#between(beforeS, timeS, status, depth, value);
		this.#add(timeS, timeS, status, value, value, null, false);
		this.#atS = timeS;
		this.#status = status;
		this.#depth = depth;
		this.#value = value;
		this.untilS = timeS;
	}

	/** No sample until here: unknown from the last one on. The next sample starts anew. */
	unknownUntil(timeS: number): void {
		if (timeS <= this.untilS) return;
		const from = this.untilS === Number.NEGATIVE_INFINITY ? timeS : this.untilS;
		if (from < timeS) this.#add(from, timeS, maybe, Number.POSITIVE_INFINITY, Number.NaN, 'gap', true);
		this.untilS = timeS;
		this.#atS = Number.NaN;
	}

	/** The trace begins here, whether or not this column has a sample yet. */
	begin(timeS: number): void {
		this.untilS = timeS;
	}

	#beginAt(timeS: number): void {
		if (this.untilS !== Number.NEGATIVE_INFINITY && this.untilS < timeS) {
			this.#add(this.untilS, timeS, maybe, Number.POSITIVE_INFINITY, Number.NaN, 'gap', true);
		}
	}

	#between(fromS: number, toS: number, status: Status, depth: number, value: number): void {
		const { shortestS, slewPerSecond, held } = this.#rules;
		const lengthS = toS - fromS;
		const gap = lengthS > this.#period(lengthS);
		const reach = Math.max(this.#value, value, (this.#value + value + slewPerSecond * lengthS) / 2);
		const before = this.#status;
		if (held || lengthS <= shortestS / 2) {
			const same = before === status && status !== maybe;
			this.#add(fromS, toS, same ? status : maybe, reach, Number.NaN, null, false);
			return;
		}
		const bounded = Number.isFinite(slewPerSecond);
		const afterS = bounded ? this.#depth / slewPerSecond : 0;
		const aheadS = bounded ? depth / slewPerSecond : 0;
		if (before === never && status === never) {
			const windowS = lengthS - afterS - aheadS;
			const mayHide = windowS > 0 && windowS >= shortestS * (1 - 1e-9);
			const hidden = mayHide ? (gap ? 'gap' : 'slow-sampling') : null;
			this.#add(fromS, toS, mayHide ? maybe : never, reach, Number.NaN, hidden, true);
			return;
		}
		if (before === surely && status === surely && afterS + aheadS >= lengthS) {
			this.#add(fromS, toS, surely, reach, Number.NaN, null, true);
			return;
		}
		const firstS = before === surely ? Math.min(toS, fromS + afterS) : fromS;
		const lastS = status === surely ? Math.max(firstS, toS - aheadS) : toS;
		this.#add(fromS, firstS, surely, reach, Number.NaN, null, true);
		this.#add(firstS, lastS, maybe, reach, Number.NaN, null, true);
		this.#add(lastS, toS, surely, reach, Number.NaN, null, true);
	}

	/** One and a half periods: stated, or the shortest distance seen so far. */
	#period(lengthS: number): number {
		if (!Number.isNaN(this.#rules.periodS)) return 1.5 * this.#rules.periodS;
		this.#periodS = Number.isNaN(this.#periodS) ? lengthS : Math.min(this.#periodS, lengthS);
		return 1.5 * this.#periodS;
	}

	#add(
		from: number,
		to: number,
		status: Status,
		reach: number,
		sample: number,
		hidden: Piece['hidden'],
		wide: boolean,
	): void {
		const instant = !Number.isNaN(sample);
		if (from === to && !instant) return;
		const last = this.pieces.at(-1);
		if (last !== undefined && last.status === status && status !== maybe && (status === never || this.#rules.merge)) {
			last.to = to;
			return;
		}
		this.pieces.push({ from, to, status, reach, sample, hidden, wide });
	}
}
