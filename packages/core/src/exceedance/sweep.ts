import { type Piece, type Status, surely, type Track } from './track.js';

/** What the sweep tells of the time line: instants and the open times between them, in order. */
export interface SweepTaker {
	readonly instant: (atS: number, status: Status, primary: Piece) => void;
	readonly open: (fromS: number, toS: number, status: Status, primary: Piece) => void;
}

/** Walks several tracks along one time line and tells where all of them hold surely, and where all may. @rule EXC-4 */
export class Sweep {
	readonly #tracks: readonly Track[];
	readonly #heads: number[];
	readonly #taker: SweepTaker;
	#atS: number;
	#instantTold = false;

	/** @param tracks the first one is the bound's, whose pieces go along */
	constructor(tracks: readonly Track[], beginS: number, taker: SweepTaker) {
		this.#tracks = tracks;
		this.#heads = tracks.map(() => 0);
		this.#taker = taker;
		this.#atS = beginS;
	}

	/** As far as every track is told. */
	run(): void {
		const untilS = Math.min(...this.#tracks.map((track) => track.untilS));
		while (this.#atS <= untilS && this.#step(untilS));
		this.#tracks.forEach((track, at) => {
			track.pieces.splice(0, this.#heads[at]);
			this.#heads[at] = 0;
		});
	}

	#step(untilS: number): boolean {
		if (!this.#instantTold) {
			if (!this.#reach((piece) => piece.to < this.#atS)) return false;
			this.#tracks.forEach((_, at) => {
				const next = this.#piece(at, 1);
				// A piece that begins with a sample owns its instant, however far it was carried on since.
				const isSampled = next !== undefined && !Number.isNaN(next.sample);
				if (isSampled && next.from === this.#atS) this.#move(at);
			});
			this.#taker.instant(this.#atS, this.#status(), this.#piece(0, 0) as Piece);
			this.#instantTold = true;
		}
		if (this.#atS === untilS || !this.#reach((piece) => piece.to <= this.#atS)) return false;
		const toS = Math.min(untilS, ...this.#tracks.map((_, at) => (this.#piece(at, 0) as Piece).to));
		this.#taker.open(this.#atS, toS, this.#status(), this.#piece(0, 0) as Piece);
		this.#atS = toS;
		this.#instantTold = false;
		return true;
	}

	/** Moves every head past what is over; false when a track has nothing more yet. */
	#reach(isOver: (piece: Piece) => boolean): boolean {
		for (let at = 0; at < this.#tracks.length; at++) {
			for (let head = this.#piece(at, 0); head === undefined || isOver(head); head = this.#piece(at, 0)) {
				if (this.#piece(at, 1) === undefined) return false;
				this.#move(at);
			}
		}
		return true;
	}

	#piece(track: number, ahead: number): Piece | undefined {
		return (this.#tracks[track] as Track).pieces[(this.#heads[track] as number) + ahead];
	}

	#move(track: number): void {
		this.#heads[track] = (this.#heads[track] as number) + 1;
	}

	#status(): Status {
		let status: number = surely;
		this.#tracks.forEach((_, at) => {
			status &= (this.#piece(at, 0) as Piece).status;
		});
		return status as Status;
	}
}
