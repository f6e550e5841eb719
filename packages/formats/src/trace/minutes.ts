import { packTrace, traceRowsPerChunk } from './chunks.js';

/** Longest piece of a trace that one entry holds, s. */
const pieceS = 60;
/** Chunks that one entry may name; a flood fills a piece before its minute is over. */
const chunksMax = 64;
/** A wait this many times the usual one is a gap, but not below this time. */
const gapPeriods = 3;
const gapLeastS = 0.5;

/** One piece of a recorded feed: the fields of a `trace` entry, with its chunks as bytes. */
export interface TracePiece {
	readonly startS: number;
	/** Mean time between rows that came in order; 0 when there was only one. */
	readonly periodS: number;
	readonly rows: number;
	readonly chunks: readonly Uint8Array<ArrayBuffer>[];
	readonly faults: { readonly gaps: number; readonly repeats: number; readonly backward: number };
}

/**
 * Gathers rows of a feed into pieces of at most a minute. It keeps every row as it came, also one that repeats its time or
 * goes back in it, and counts those; what it holds is at most one piece.
 */
export class TraceMinutes {
	readonly #channelCount: number;
	readonly #rowsMax: number;
	#timesS: number[] = [];
	#columns: (number | null)[][];
	#lastS: number | null = null;
	#sumS = 0;
	#steps = 0;
	#usualS: number | null = null;
	#faults = { gaps: 0, repeats: 0, backward: 0 };

	constructor(channelCount: number) {
		this.#channelCount = channelCount;
		this.#rowsMax = chunksMax * traceRowsPerChunk(channelCount);
		this.#columns = this.#empty();
	}

	/** Rows held that no piece has taken yet. */
	get waiting(): number {
		return this.#timesS.length;
	}

	/** @returns a piece when this row begins the next one, else null */
	push(timeS: number, values: readonly (number | null)[]): TracePiece | null {
		const startS = this.#timesS[0];
		const isFull = startS !== undefined && (Math.abs(timeS - startS) >= pieceS || this.#timesS.length >= this.#rowsMax);
		const piece = isFull ? this.flush() : null;
		this.#count(timeS);
		this.#timesS.push(timeS);
		for (const [at, column] of this.#columns.entries()) column.push(values[at] ?? null);
		return piece;
	}

	/** What is held, as a piece; null when nothing is. */
	flush(): TracePiece | null {
		const startS = this.#timesS[0];
		if (startS === undefined) return null;
		const piece: TracePiece = {
			startS,
			periodS: this.#steps === 0 ? 0 : this.#sumS / this.#steps,
			rows: this.#timesS.length,
			chunks: packTrace({ timesS: this.#timesS, columns: this.#columns }),
			faults: this.#faults,
		};
		this.#timesS = [];
		this.#columns = this.#empty();
		this.#sumS = 0;
		this.#steps = 0;
		this.#faults = { gaps: 0, repeats: 0, backward: 0 };
		return piece;
	}

	#count(timeS: number): void {
		const lastS = this.#lastS;
		this.#lastS = timeS;
		if (lastS === null) return;
		const stepS = timeS - lastS;
		if (stepS === 0) this.#faults.repeats += 1;
		else if (stepS < 0) this.#faults.backward += 1;
		else if (this.#usualS !== null && stepS > Math.max(gapLeastS, gapPeriods * this.#usualS)) this.#faults.gaps += 1;
		else {
			this.#usualS = this.#usualS === null ? stepS : this.#usualS + 0.1 * (stepS - this.#usualS);
			this.#sumS += stepS;
			this.#steps += 1;
		}
	}

	#empty(): (number | null)[][] {
		return Array.from({ length: this.#channelCount }, () => []);
	}
}
