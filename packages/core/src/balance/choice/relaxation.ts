import { BoxQuadratic } from './box-quadratic.js';
import type { PreparedChoice } from './prepared-choice.js';

/** Rounds through all constraints, and steps for the multiplier of one. Any multiplier gives a bound, a near one a good one. */
const LIMIT_SWEEPS = 3;
const LIMIT_STEPS = 8;
/** No share falls below this part of an equal one, or it could never grow again. */
const LEAST_SHARE = 1e-5;

/**
 * Lower bounds for a part of the search: some variables fixed, the others anywhere in a box, no grid.
 * For any shares λ ≥ 0 with Σλ = 1 the worst squared length is at least Σ λ_k·‖F_k d + g_k‖², a quadratic whose smallest
 * value in the box is the bound; Lawson's reweighting (λ_k grows with the length of term k) raises it.
 * Source: C. L. Lawson, Contributions to the theory of linear least maximum approximation, 1961, from memory.
 */
export class Relaxation {
	/** Variables that are free in this part, `free` of them. */
	readonly variable: Int32Array;
	free = 0;
	/** Where the quadratic is smallest in the box, per free variable; its value there is `bound` less the pull below. */
	readonly centre: Float64Array;
	/** Half the gradient there: what a step away from the edge of the box costs, over 2. */
	readonly slope: Float64Array;
	/** Σ λ_k·gram_k over the free variables, `free`² numbers. */
	readonly hessian: Float64Array;
	/** No layout of this part is below it. */
	bound = 0;
	/** Largest squared length at `centre`: no shares can lift the bound over it. */
	ceiling = 0;
	private readonly prepared: PreparedChoice;
	private readonly box: BoxQuadratic;
	private readonly gram: Float64Array;
	private readonly linear: Float64Array;
	private readonly constant: Float64Array;
	private readonly low: Float64Array;
	private readonly high: Float64Array;
	private readonly pull: Float64Array;
	private readonly square: Float64Array;
	private readonly bestShares: Float64Array;
	/** Constraints over the free variables, what the fixed ones use, and half the multiplier of each. */
	private readonly limit: Float64Array;
	private readonly limitUsed: Float64Array;
	private readonly limitMultiplier: Float64Array;

	constructor(prepared: PreparedChoice) {
		const { size, termCount } = prepared;
		this.prepared = prepared;
		this.box = new BoxQuadratic(size);
		this.variable = new Int32Array(size);
		this.centre = new Float64Array(size);
		this.slope = new Float64Array(size);
		this.hessian = new Float64Array(size * size);
		this.gram = new Float64Array(termCount * size * size);
		this.linear = new Float64Array(termCount * size);
		this.constant = new Float64Array(termCount);
		this.low = new Float64Array(size);
		this.high = new Float64Array(size);
		this.pull = new Float64Array(size);
		this.square = new Float64Array(termCount);
		this.bestShares = new Float64Array(termCount);
		this.limit = new Float64Array(prepared.limits.length);
		this.limitUsed = new Float64Array(prepared.limitAtMost.length);
		this.limitMultiplier = new Float64Array(prepared.limitAtMost.length);
	}

	/**
	 * Bounds the part given by the boxes `low` … `high` of places in `changes` (equal = fixed).
	 * @param shares λ to start from; the best found are written back
	 * @param radius stop as soon as the bound is over it, or as soon as no shares can lift it there
	 */
	solve(low: Int32Array, high: Int32Array, shares: Float64Array, radius: number, rounds: number): void {
		this.gather(low, high);
		this.bound = Number.NEGATIVE_INFINITY;
		this.ceiling = Number.POSITIVE_INFINITY;
		let lifted = Number.NEGATIVE_INFINITY;
		for (let round = 0; ; round++) {
			this.minimise(shares);
			if (this.bound > lifted) {
				lifted = this.bound;
				this.bestShares.set(shares);
			}
			if (this.bound > radius || this.ceiling <= radius || round >= rounds || shares.length === 1) break;
			this.reweigh(shares);
		}
		if (lifted > this.bound) {
			shares.set(this.bestShares);
			this.minimise(shares);
		}
	}

	/** Copies the part of the quadratics that the free variables see, with the fixed ones folded in. */
	private gather(low: Int32Array, high: Int32Array): void {
		const { size, changes, termCount, gram, linear, constant } = this.prepared;
		const { variable } = this;
		let free = 0;
		for (let j = 0; j < size; j++) {
			if (low[j]! === high[j]!) continue;
			this.low[free] = changes[j]![low[j]!]!;
			this.high[free] = changes[j]![high[j]!]!;
			variable[free++] = j;
		}
		this.free = free;
		this.box.reset(free);
		this.gatherLimits(low, high);
		for (let k = 0; k < termCount; k++) {
			const square = k * size * size;
			let sum = constant[k]!;
			for (let a = 0; a < free; a++) {
				const row = square + variable[a]! * size;
				for (let b = 0; b <= a; b++) this.gram[(k * free + a) * free + b] = gram[row + variable[b]!]!;
				this.linear[k * free + a] = linear[k * size + variable[a]!]!;
			}
			for (let j = 0; j < size; j++) {
				if (low[j]! !== high[j]!) continue;
				const value = changes[j]![low[j]!]!;
				if (value === 0) continue;
				const row = square + j * size;
				for (let a = 0; a < free; a++) this.linear[k * free + a]! += gram[row + variable[a]!]! * value;
				let along = 2 * linear[k * size + j]!;
				for (let i = 0; i < size; i++) if (low[i]! === high[i]!) along += gram[row + i]! * changes[i]![low[i]!]!;
				sum += along * value;
			}
			this.constant[k] = sum;
		}
	}

	private minimise(shares: Float64Array): void {
		const { free, hessian, pull, gram, linear, centre, slope, square } = this;
		const { termCount } = this.prepared;
		hessian.fill(0, 0, free * free);
		pull.fill(0, 0, free);
		for (let k = 0; k < termCount; k++) {
			const share = shares[k]!;
			if (share === 0) continue;
			for (let a = 0; a < free; a++) {
				const row = (k * free + a) * free;
				for (let b = 0; b <= a; b++) hessian[a * free + b]! += share * gram[row + b]!;
				pull[a]! += share * linear[k * free + a]!;
			}
		}
		for (let a = 0; a < free; a++) for (let b = 0; b < a; b++) hessian[b * free + a] = hessian[a * free + b]!;
		this.holdLimits();
		let bound = 0;
		let ceiling = 0;
		for (let k = 0; k < termCount; k++) {
			let value = this.constant[k]!;
			for (let a = 0; a < free; a++) {
				const row = (k * free + a) * free;
				let sum = linear[k * free + a]!;
				for (let b = 0; b < a; b++) sum += gram[row + b]! * centre[b]!;
				value += (2 * sum + gram[row + a]! * centre[a]!) * centre[a]!;
			}
			square[k] = Math.max(value, 0);
			if (value > ceiling) ceiling = value;
			bound += shares[k]! * value;
		}
		// The gradient is not zero where the box holds the centre back, nor exactly zero elsewhere: count its worst case.
		for (let a = 0; a < free; a++) {
			const towards = slope[a]! > 0 ? this.low[a]! : this.high[a]!;
			bound += 2 * slope[a]! * (towards - centre[a]!);
		}
		// A constraint times its multiplier may be added: where it holds, that adds nothing positive.
		for (let c = 0; c < this.limitMultiplier.length; c++) bound += 2 * this.limitMultiplier[c]! * this.overLimit(c);
		this.bound = bound;
		this.ceiling = ceiling;
	}

	/** Lowest point in the box, each binding constraint pushing back just enough that it is met there. */
	private holdLimits(): void {
		const { free, hessian, pull, centre, slope, box, limit, limitMultiplier } = this;
		const { size } = this.prepared;
		for (let c = 0; c < limitMultiplier.length; c++) {
			const multiplier = limitMultiplier[c]!;
			if (multiplier > 0) for (let a = 0; a < free; a++) pull[a]! += multiplier * limit[c * size + a]!;
		}
		box.lowest(hessian, pull, this.low, this.high, centre, slope);
		for (let sweep = 0; sweep < LIMIT_SWEEPS; sweep++) {
			let moved = false;
			for (let c = 0; c < limitMultiplier.length; c++) if (this.holdLimit(c)) moved = true;
			if (!moved || limitMultiplier.length === 1) break;
		}
	}

	/** Finds the multiplier of one constraint: Newton on how far it is overstepped, which falls as the multiplier grows. */
	private holdLimit(c: number): boolean {
		const { free, hessian, pull, centre, slope, box, limitMultiplier } = this;
		const { size, limitSlack } = this.prepared;
		const direction = this.limit.subarray(c * size, c * size + free);
		const near = 1e6 * limitSlack[c]!;
		let least = 0;
		let most = Number.POSITIVE_INFINITY;
		let moved = false;
		for (let step = 0; step < LIMIT_STEPS; step++) {
			const over = this.overLimit(c);
			const multiplier = limitMultiplier[c]!;
			if (Math.abs(over) <= near || (over < 0 && multiplier === 0)) break;
			if (over > 0) least = multiplier;
			else most = multiplier;
			const compliance = box.compliance(direction);
			let next = compliance > 0 ? multiplier + over / compliance : Number.NaN;
			if (next <= 0 && least === 0 && step === 0) next = 0;
			else if (!(next > least && next < most)) {
				if (most === Number.POSITIVE_INFINITY) break;
				next = (least + most) / 2;
			}
			for (let a = 0; a < free; a++) pull[a]! += (next - multiplier) * direction[a]!;
			limitMultiplier[c] = next;
			box.lowest(hessian, pull, this.low, this.high, centre, slope);
			moved = true;
		}
		return moved;
	}

	/** How far the centre is over constraint `c`, negative when it has room. */
	private overLimit(c: number): number {
		let used = this.limitUsed[c]!;
		for (let a = 0; a < this.free; a++) used += this.limit[c * this.prepared.size + a]! * this.centre[a]!;
		return used - this.prepared.limitAtMost[c]!;
	}

	private gatherLimits(low: Int32Array, high: Int32Array): void {
		const { size, changes, limits, limitAtMost } = this.prepared;
		for (let c = 0; c < limitAtMost.length; c++) {
			let used = 0;
			for (let j = 0; j < size; j++) if (low[j] === high[j]) used += limits[c * size + j]! * changes[j]![low[j]!]!;
			this.limitUsed[c] = used;
			this.limitMultiplier[c] = 0;
			for (let a = 0; a < this.free; a++) this.limit[c * size + a] = limits[c * size + this.variable[a]!]!;
		}
	}

	private reweigh(shares: Float64Array): void {
		let sum = 0;
		for (let k = 0; k < shares.length; k++) {
			shares[k]! *= Math.sqrt(this.square[k]!);
			sum += shares[k]!;
		}
		const least = LEAST_SHARE / shares.length;
		let total = 0;
		for (let k = 0; k < shares.length; k++) {
			shares[k] = sum > 0 ? Math.max(shares[k]! / sum, least) : 1;
			total += shares[k]!;
		}
		for (let k = 0; k < shares.length; k++) shares[k]! /= total;
	}
}
