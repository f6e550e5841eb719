import type { Unseen } from './model.js';
import type { SweepTaker } from './sweep.js';
import { maybe, never, type Piece, type Status, surely } from './track.js';
import { UnseenTimes } from './unseen.js';

/** One unbroken time in which a line may have been passed, values in the sense of the line (larger is worse). */
export interface Run {
	readonly fromS: number;
	toS: number;
	firstSureS: number;
	lastSureS: number;
	/** The longest unbroken sure time, and all of it together. */
	longestSureS: number;
	sureS: number;
	/** Largest sample that surely counts; −∞ without one. */
	proved: number;
	/** Largest sample beyond the line. */
	seen: number;
	reach: number;
	/** Anything but times between two good samples. */
	evident: boolean;
	cutByTrace: boolean;
	phase: string | null;
	/** Time until its end in which something could have stayed unseen, and how many excursions that could hold. */
	unseenS: number;
	unseenTimes: number;
}

/** Builds runs from what a sweep tells, and keeps what nobody saw apart. @rule EXC-5 */
export class RunBuilder implements SweepTaker {
	readonly runs: Run[] = [];
	readonly unseen: UnseenTimes;
	sureS = 0;
	mayS = 0;
	#run: Run | null = null;
	#broken = false;
	#wide = false;
	#sureFromS = Number.NaN;
	readonly #beginS: number;
	readonly #phaseAt: (timeS: number) => string | null;

	constructor(line: string, shortestS: number, beginS: number, phaseAt: (timeS: number) => string | null) {
		this.unseen = new UnseenTimes(line, shortestS);
		this.#beginS = beginS;
		this.#phaseAt = phaseAt;
	}

	readonly instant = (atS: number, status: Status, primary: Piece): void => {
		if (status === never) {
			this.#broken = true;
			this.#sureFromS = Number.NaN;
			return;
		}
		const run = this.#at(atS);
		if (atS === this.#beginS) run.cutByTrace = true;
		run.toS = atS;
		run.evident = true;
		if (!Number.isNaN(primary.sample)) {
			run.seen = Math.max(run.seen, primary.sample);
			if (status === surely) run.proved = Math.max(run.proved, primary.sample);
		}
		this.#sure(run, atS, atS, status);
	};

	readonly open = (fromS: number, toS: number, status: Status, primary: Piece): void => {
		if (status === never) {
			this.#close();
			this.#wide = false;
			return;
		}
		if (this.#broken && !(this.#wide && primary.wide)) this.#close();
		this.#broken = false;
		this.#wide = primary.wide;
		const run = this.#at(fromS);
		run.toS = toS;
		run.reach = Math.max(run.reach, primary.reach);
		this.mayS += toS - fromS;
		if (primary.hidden === null) run.evident = true;
		else this.unseen.add(fromS, toS, primary.reach, primary.hidden);
		this.#sure(run, fromS, toS, status);
	};

	/** @param endS the last moment of the trace */
	finish(endS: number): void {
		if (this.#run !== null && !this.#broken && this.#run.toS >= endS) this.#run.cutByTrace = true;
		this.#close();
	}

	unseenTimes(sense: 1 | -1, resolution: number): readonly Unseen[] {
		return this.unseen.merged(sense, resolution);
	}

	#at(fromS: number): Run {
		this.#run ??= {
			fromS,
			toS: fromS,
			firstSureS: Number.NaN,
			lastSureS: Number.NaN,
			longestSureS: 0,
			sureS: 0,
			proved: Number.NEGATIVE_INFINITY,
			seen: Number.NEGATIVE_INFINITY,
			reach: Number.NEGATIVE_INFINITY,
			evident: false,
			cutByTrace: false,
			phase: this.#phaseAt(fromS),
			unseenS: 0,
			unseenTimes: 0,
		};
		return this.#run;
	}

	#sure(run: Run, fromS: number, toS: number, status: Status): void {
		if (status === maybe) {
			this.#sureFromS = Number.NaN;
			return;
		}
		if (Number.isNaN(this.#sureFromS)) this.#sureFromS = fromS;
		if (Number.isNaN(run.firstSureS)) run.firstSureS = fromS;
		run.lastSureS = toS;
		run.sureS += toS - fromS;
		this.sureS += toS - fromS;
		run.longestSureS = Math.max(run.longestSureS, toS - this.#sureFromS);
	}

	#close(): void {
		if (this.#run?.evident) {
			this.#run.unseenS = this.unseen.sumS;
			this.#run.unseenTimes = this.unseen.mostTimes;
			this.runs.push(this.#run);
		}
		this.#run = null;
		this.#broken = false;
		this.#sureFromS = Number.NaN;
	}
}
