import type { PreparedChoice } from './prepared-choice.js';
import type { Relaxation } from './relaxation.js';
import type { SearchState } from './search-state.js';

/**
 * Walks every grid point of a part of the search that lies inside the ellipsoid  base + ‖R(d − centre)‖² ≤ radius,
 * depth first, nearest values first, the radius shrinking with each find.
 * Source: C. P. Schnorr, M. Euchner, Lattice basis reduction, 1994 (enumeration order), from memory.
 */
export class Enumeration {
	private readonly prepared: PreparedChoice;
	private readonly state: SearchState;
	/** Upper triangular, row after row; the last variable is set first. */
	private readonly triangle: Float64Array;
	private readonly order: Int32Array;
	private readonly middle: Float64Array;
	private readonly off: Float64Array;
	private readonly schur: Float64Array;
	private readonly residual: Float64Array;
	/** Per level and constraint: what the variables still to be set take from it at least. */
	private readonly reserve: Float64Array;
	private low: Int32Array;
	private high: Int32Array;
	private free = 0;
	private nodesLeft = 0;

	constructor(prepared: PreparedChoice, state: SearchState) {
		const { size } = prepared;
		this.prepared = prepared;
		this.state = state;
		this.triangle = new Float64Array(size * size);
		this.order = new Int32Array(size);
		this.middle = new Float64Array(size);
		this.off = new Float64Array(size);
		this.schur = new Float64Array(size * size);
		this.residual = new Float64Array(prepared.offset.length);
		this.reserve = new Float64Array((size + 1) * prepared.limitAtMost.length);
		this.low = new Int32Array(size);
		this.high = new Int32Array(size);
	}

	/**
	 * @param part bound, centre and quadratic of this part   @param low @param high its boxes
	 * @param touches how many free variables may still leave 0
	 * @param budget nodes to spend
	 * @returns true when the part is finished
	 */
	run(part: Relaxation, low: Int32Array, high: Int32Array, touches: number, budget: number): boolean {
		const { prepared, state } = this;
		this.low = low;
		this.high = high;
		this.free = part.free;
		this.nodesLeft = budget;
		this.triangulate(part);
		for (let j = 0; j < prepared.size; j++) if (low[j] === high[j]) state.changes[j] = prepared.changes[j]![low[j]!]!;
		if (!this.reserveConstraints()) return true;
		this.foldFixed();
		this.descend(this.free - 1, part.bound, touches);
		state.nodes += budget - Math.max(0, this.nodesLeft);
		return this.nodesLeft >= 0;
	}

	/** Pivoted Cholesky: the variables that matter least come first and so are set last. */
	private triangulate(part: Relaxation): void {
		const { triangle, order, middle, schur, prepared } = this;
		const { free, hessian, centre, variable } = part;
		for (let a = 0; a < free * free; a++) schur[a] = hessian[a]!;
		const diagonal = new Float64Array(free);
		const place = Int32Array.from({ length: free }, (_, a) => a);
		for (let i = 0; i < free; i++) {
			let pick = i;
			let least = Number.POSITIVE_INFINITY;
			for (let q = i; q < free; q++) {
				const a = place[q]!;
				const weight = schur[a * free + a]! * prepared.step[variable[a]!]! ** 2;
				if (weight < least) {
					least = weight;
					pick = q;
				}
			}
			const a = place[pick]!;
			place[pick] = place[i]!;
			place[i] = a;
			const own = schur[a * free + a]!;
			const solid = own > 1e-12 * hessian[a * free + a]!;
			const root = solid ? Math.sqrt(own) : 0;
			for (let q = i + 1; q < free; q++) {
				const b = place[q]!;
				triangle[i * free + b] = solid ? schur[a * free + b]! / root : 0;
			}
			diagonal[i] = root;
			if (!solid) continue;
			for (let q = i + 1; q < free; q++) {
				const b = place[q]!;
				const factor = triangle[i * free + b]!;
				for (let s = i + 1; s < free; s++) schur[b * free + place[s]!]! -= factor * triangle[i * free + place[s]!]!;
			}
		}
		// Rows were filled by variable; bring the columns into the order of elimination.
		const row = new Float64Array(free);
		for (let i = 0; i < free; i++) {
			for (let q = i + 1; q < free; q++) row[q] = triangle[i * free + place[q]!]!;
			for (let q = i + 1; q < free; q++) triangle[i * free + q] = row[q]!;
			triangle[i * free + i] = diagonal[i]!;
		}
		for (let i = 0; i < free; i++) {
			order[i] = variable[place[i]!]!;
			middle[i] = centre[place[i]!]!;
		}
	}

	private foldFixed(): void {
		const { prepared, residual, state } = this;
		const { size, rows, offset } = prepared;
		for (let r = 0; r < residual.length; r++) {
			let sum = offset[r]!;
			for (let j = 0; j < size; j++) if (this.low[j] === this.high[j]) sum += rows[r * size + j]! * state.changes[j]!;
			residual[r] = sum;
		}
	}

	private descend(level: number, spent: number, touches: number): void {
		if (level < 0) {
			this.weigh();
			return;
		}
		const { order, middle, off, triangle, free, prepared } = this;
		const j = order[level]!;
		const values = prepared.changes[j]!;
		const low = this.low[j]!;
		const high = this.high[j]!;
		const pivot = triangle[level * free + level]!;
		let shift = 0;
		for (let q = level + 1; q < free; q++) shift += triangle[level * free + q]! * off[q]!;
		const aim = pivot > 0 ? middle[level]! - shift / pivot : 0;
		let up = low;
		if (touches <= 0) {
			// Only 0 is left for this variable.
			const zero = prepared.zeroAt[j]!;
			if (zero < low || zero > high) return;
			this.step(level, j, 0, spent, pivot, shift, touches);
			return;
		}
		while (up <= high && values[up]! < aim) up++;
		let down = up - 1;
		for (;;) {
			const hasUp = up <= high;
			const hasDown = down >= low;
			if (!hasUp && !hasDown) return;
			const value = hasDown && (!hasUp || aim - values[down]! <= values[up]! - aim) ? values[down--]! : values[up++]!;
			if (!this.step(level, j, value, spent, pivot, shift, value === 0 ? touches : touches - 1)) return;
		}
	}

	/** Sets one variable and goes on; false when it, and so every value further out, is outside the ellipsoid. */
	private step(
		level: number,
		j: number,
		value: number,
		spent: number,
		pivot: number,
		shift: number,
		touches: number,
	): boolean {
		const away = value - this.middle[level]!;
		const length = pivot * away + shift;
		const total = spent + length * length;
		if (total > this.state.cutoff) return false;
		if (--this.nodesLeft < 0) return false;
		this.state.changes[j] = value;
		if (this.prepared.limitAtMost.length > 0 && !this.hasRoom(level)) return true;
		this.off[level] = away;
		this.descend(level - 1, total, touches);
		return this.nodesLeft >= 0;
	}

	/** Least that levels below take from each constraint, and what the fixed ones took; false when that is too much. */
	private reserveConstraints(): boolean {
		const { prepared, reserve, free, state } = this;
		const { limits, limitAtMost, limitSlack, size } = prepared;
		const count = limitAtMost.length;
		for (let c = 0; c < count; c++) {
			let used = 0;
			for (let j = 0; j < size; j++)
				if (this.low[j] === this.high[j]) used += limits[c * size + j]! * state.changes[j]!;
			reserve[c] = used;
			for (let level = 0; level < free; level++) {
				const j = this.order[level]!;
				const values = prepared.changes[j]!;
				const coefficient = limits[c * size + j]!;
				used += coefficient * (coefficient > 0 ? values[this.low[j]!]! : values[this.high[j]!]!);
				reserve[(level + 1) * count + c] = used;
			}
			if (used > limitAtMost[c]! + limitSlack[c]!) return false;
		}
		return true;
	}

	/** Whether what is set so far leaves the variables below `level` enough of every constraint. */
	private hasRoom(level: number): boolean {
		const { prepared, reserve, order, free, state } = this;
		const { limits, limitAtMost, limitSlack, size } = prepared;
		const count = limitAtMost.length;
		for (let c = 0; c < count; c++) {
			let used = reserve[level * count + c]!;
			for (let q = level; q < free; q++) used += limits[c * size + order[q]!]! * state.changes[order[q]!]!;
			if (used > limitAtMost[c]! + limitSlack[c]!) return false;
		}
		return true;
	}

	/** A whole layout: given up as soon as one term is over the radius. */
	private weigh(): void {
		const { prepared, residual, order, free, state } = this;
		const { rowStart, rows, size, termCount } = prepared;
		// A hair over the radius, because the same squares summed in another order differ in the last digits.
		const limit = state.shelf.radius * (1 + 1e-12);
		for (let k = 0; k < termCount; k++) {
			let square = 0;
			for (let r = rowStart[k]!; r < rowStart[k + 1]!; r++) {
				let sum = residual[r]!;
				for (let i = 0; i < free; i++) sum += rows[r * size + order[i]!]! * state.changes[order[i]!]!;
				square += sum * sum;
			}
			if (square > limit) return;
		}
		state.found();
	}
}
