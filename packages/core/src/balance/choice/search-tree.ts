import { Enumeration } from './enumeration.js';
import { inverseDiagonal } from './inverse-diagonal.js';
import type { PreparedChoice } from './prepared-choice.js';
import { Relaxation } from './relaxation.js';
import type { SearchState } from './search-state.js';

/** A part of the search: a box of places in `changes`, and which variables already count as touched. */
interface Part {
	readonly low: Int32Array;
	readonly high: Int32Array;
	/** 1 where a variable counts as touched whatever it takes; 0 where that is still open. */
	readonly counted: Uint8Array;
	/** Touches not yet given out. */
	left: number;
	readonly shares: Float64Array;
	bound: number;
}

/** Rounds of reweighing at the root and below; most solve-and-shrink passes per part; nodes to walk before splitting. */
const ROOT_ROUNDS = 60;
const ROUNDS = 12;
const SHRINKS = 2;
const WALK_NODES = 150;

/**
 * Branch and bound over parts: bound a part with shares of its own, shrink its box by the bound, try to walk it through
 * within a small budget, and split it when that does not finish. First it is decided which adjusters are touched, then
 * what they are set to.
 */
export class SearchTree {
	/** Least bound of what was left open when the search was stopped; Infinity when it was finished. */
	open = Number.POSITIVE_INFINITY;
	private readonly prepared: PreparedChoice;
	private readonly state: SearchState;
	private readonly relaxation: Relaxation;
	private readonly enumeration: Enumeration;
	private readonly spread: Float64Array;
	private readonly work: Float64Array;
	private readonly shouldStop: () => boolean;
	private stopped = false;

	constructor(prepared: PreparedChoice, state: SearchState, shouldStop: () => boolean) {
		this.prepared = prepared;
		this.state = state;
		this.relaxation = new Relaxation(prepared);
		this.enumeration = new Enumeration(prepared, state);
		this.spread = new Float64Array(prepared.size);
		this.work = new Float64Array(2 * prepared.size * prepared.size);
		this.shouldStop = shouldStop;
	}

	/** Searches the whole problem with at most `touches` touched adjusters. */
	run(touches: number): void {
		const { size, changes, termCount } = this.prepared;
		const root: Part = {
			low: new Int32Array(size),
			high: Int32Array.from(changes, (values) => values.length - 1),
			counted: new Uint8Array(size),
			left: touches,
			shares: new Float64Array(termCount).fill(1 / termCount),
			bound: 0,
		};
		this.explore(root, ROOT_ROUNDS);
	}

	private explore(part: Part, firstRounds: number): void {
		const { state, relaxation } = this;
		if (this.stopped || this.shouldStop()) {
			this.stopped = true;
			this.open = Math.min(this.open, part.bound);
			return;
		}
		state.nodes++;
		let rounds = firstRounds;
		for (let shrinks = 0; ; shrinks++) {
			const undecided = this.settle(part);
			if (undecided < 0) return;
			relaxation.solve(part.low, part.high, part.shares, state.cutoff, rounds);
			if (relaxation.bound > state.cutoff) return;
			part.bound = Math.max(part.bound, relaxation.bound);
			inverseDiagonal(relaxation.free, relaxation.hessian, this.spread, this.work);
			if (undecided > part.left && this.touchBound(part, undecided) > state.cutoff) return;
			if (shrinks === SHRINKS) break;
			const cut = this.shrink(part);
			if (cut < 0) return;
			if (cut === 0) break;
			rounds = 2;
		}
		const counted = this.countFree(part);
		if (this.enumeration.run(relaxation, part.low, part.high, part.left + counted, WALK_NODES)) return;
		if (counted < relaxation.free) this.branchOnTouch(part);
		else this.branchOnValue(part);
	}

	/** Draws what follows from the touches left; returns how many variables are open, or −1 when nothing fits. */
	private settle(part: Part): number {
		const { low, high, counted } = part;
		const { zeroAt, size } = this.prepared;
		let undecided = 0;
		for (let j = 0; j < size; j++) {
			if (counted[j] === 1) continue;
			const zero = zeroAt[j]!;
			if (zero < low[j]! || zero > high[j]!) {
				counted[j] = 1;
				part.left--;
			} else if (low[j]! < high[j]!) undecided++;
		}
		if (part.left < 0) return -1;
		if (undecided > 0 && (part.left === 0 || undecided <= part.left)) {
			for (let j = 0; j < size; j++) {
				if (counted[j] === 1 || low[j] === high[j]) continue;
				if (part.left === 0) {
					low[j] = zeroAt[j]!;
					high[j] = zeroAt[j]!;
				} else counted[j] = 1;
			}
			part.left = Math.max(0, part.left - undecided);
			return 0;
		}
		return undecided;
	}

	private countFree(part: Part): number {
		let counted = 0;
		for (let a = 0; a < this.relaxation.free; a++) counted += part.counted[this.relaxation.variable[a]!]!;
		return counted;
	}

	/** Of the open variables all but `left` must stay at 0; the bound with the cheapest of those that must. */
	private touchBound(part: Part, undecided: number): number {
		const { relaxation } = this;
		const costs: number[] = [];
		for (let a = 0; a < relaxation.free; a++) {
			if (part.counted[relaxation.variable[a]!] === 1) continue;
			costs.push(this.costOf(a, 0));
		}
		costs.sort((x, y) => x - y);
		return relaxation.bound + costs[undecided - part.left - 1]!;
	}

	/** How much the bound rises at least when free variable `a` takes this change. */
	private costOf(a: number, change: number): number {
		const { centre, slope } = this.relaxation;
		const away = change - centre[a]!;
		const pushed = 2 * slope[a]! * away;
		return Math.max(pushed, 0) + (away * away) / this.spread[a]!;
	}

	/** Cuts off values whose bound is over the radius. Returns how many were cut, −1 when a variable has none left. */
	private shrink(part: Part): number {
		const { relaxation, prepared } = this;
		const allowance = this.state.cutoff - relaxation.bound;
		if (allowance === Number.POSITIVE_INFINITY) return 0;
		let cut = 0;
		for (let a = 0; a < relaxation.free; a++) {
			const j = relaxation.variable[a]!;
			const values = prepared.changes[j]!;
			let low = part.low[j]!;
			let high = part.high[j]!;
			const before = high - low;
			while (low <= high && values[low]! < relaxation.centre[a]! && this.costOf(a, values[low]!) > allowance) low++;
			while (high >= low && values[high]! > relaxation.centre[a]! && this.costOf(a, values[high]!) > allowance) high--;
			if (high < low) return -1;
			cut += before - (high - low);
			part.low[j] = low;
			part.high[j] = high;
		}
		return cut;
	}

	private branchOnTouch(part: Part): void {
		const { relaxation, prepared } = this;
		let pick = -1;
		let most = Number.NEGATIVE_INFINITY;
		for (let a = 0; a < relaxation.free; a++) {
			const j = relaxation.variable[a]!;
			if (part.counted[j] === 1) continue;
			const cost = this.costOf(a, 0);
			if (cost > most) {
				most = cost;
				pick = j;
			}
		}
		const without = copy(part);
		without.low[pick] = prepared.zeroAt[pick]!;
		without.high[pick] = prepared.zeroAt[pick]!;
		part.counted[pick] = 1;
		part.left--;
		this.explore(part, ROUNDS);
		this.explore(without, ROUNDS);
	}

	private branchOnValue(part: Part): void {
		const { relaxation, prepared } = this;
		let pick = 0;
		let most = Number.NEGATIVE_INFINITY;
		for (let a = 0; a < relaxation.free; a++) {
			const j = relaxation.variable[a]!;
			const below = this.placeBelow(a);
			const values = prepared.changes[j]!;
			const down = below >= part.low[j]! ? this.costOf(a, values[below]!) : Number.POSITIVE_INFINITY;
			const up = below < part.high[j]! ? this.costOf(a, values[below + 1]!) : Number.POSITIVE_INFINITY;
			const score = Math.min(down, up) + 1e-3 * Math.max(Math.min(down, 1e3), Math.min(up, 1e3));
			if (score > most) {
				most = score;
				pick = a;
			}
		}
		const j = relaxation.variable[pick]!;
		const values = prepared.changes[j]!;
		let split = this.placeBelow(pick);
		split = Math.min(Math.max(split, part.low[j]!), part.high[j]! - 1);
		const upFirst = this.costOf(pick, values[split + 1]!) < this.costOf(pick, values[split]!);
		const lower = copy(part);
		lower.high[j] = split;
		part.low[j] = split + 1;
		this.explore(upFirst ? part : lower, ROUNDS);
		this.explore(upFirst ? lower : part, ROUNDS);
	}

	/** Place of the largest allowed change that is not over the centre of free variable `a`; −1 when all are. */
	private placeBelow(a: number): number {
		const values = this.prepared.changes[this.relaxation.variable[a]!]!;
		let place = -1;
		while (place + 1 < values.length && values[place + 1]! <= this.relaxation.centre[a]!) place++;
		return place;
	}
}

function copy(part: Part): Part {
	return {
		low: part.low.slice(),
		high: part.high.slice(),
		counted: part.counted.slice(),
		left: part.left,
		shares: part.shares.slice(),
		bound: part.bound,
	};
}
