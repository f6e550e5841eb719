const FREE = 0;
const AT_LOW = 1;
const AT_HIGH = 2;
const ROUNDS = 12;

/** Finds the lowest point of a convex quadratic in a box. Holds its work space, for it is the innermost of the search. */
export class BoxQuadratic {
	private readonly factor: Float64Array;
	private readonly solution: Float64Array;
	private readonly held: Uint8Array;
	private readonly loose: Int32Array;

	/** @param most largest number of variables */
	constructor(most: number) {
		this.factor = new Float64Array(most * most);
		this.solution = new Float64Array(most);
		this.held = new Uint8Array(most);
		this.loose = new Int32Array(most);
	}

	/**
	 * Point of the box low ≤ x ≤ high where xᵀHx + 2·pull·x is (nearly) smallest, by an active set: variables that would
	 * leave the box are held at its edge, held ones that push inwards are let go. Ends after a few rounds in any case; callers
	 * use only what holds at any point of the box.
	 * @param centre out: the point   @param slope out: H·centre + pull, half the gradient
	 */
	lowest(
		size: number,
		hessian: Float64Array,
		pull: Float64Array,
		low: Float64Array,
		high: Float64Array,
		centre: Float64Array,
		slope: Float64Array,
	): void {
		const { held, solution } = this;
		held.fill(FREE, 0, size);
		for (let round = 0; round < ROUNDS; round++) {
			this.solveLoose(size, hessian, pull, low, high);
			let changed = false;
			for (let a = 0; a < size; a++) {
				if (held[a] !== FREE) continue;
				if (solution[a]! < low[a]!) {
					held[a] = AT_LOW;
					changed = true;
				} else if (solution[a]! > high[a]!) {
					held[a] = AT_HIGH;
					changed = true;
				}
			}
			for (let a = 0; a < size; a++) {
				centre[a] = held[a] === AT_LOW ? low[a]! : held[a] === AT_HIGH ? high[a]! : solution[a]!;
			}
			if (changed && round + 1 < ROUNDS) continue;
			for (let a = 0; a < size; a++) {
				let sum = pull[a]!;
				for (let b = 0; b < size; b++) sum += hessian[a * size + b]! * centre[b]!;
				slope[a] = sum;
				if (held[a] === AT_LOW ? sum < 0 : held[a] === AT_HIGH && sum > 0) {
					held[a] = FREE;
					changed = true;
				}
			}
			if (!changed) return;
		}
	}

	/** Solves for the variables that are not held, by Cholesky; a column that depends on earlier ones gets a tiny ridge. */
	private solveLoose(
		size: number,
		hessian: Float64Array,
		pull: Float64Array,
		low: Float64Array,
		high: Float64Array,
	): void {
		const { factor, solution, held, loose } = this;
		let count = 0;
		for (let a = 0; a < size; a++) if (held[a] === FREE) loose[count++] = a;
		let floor = 1e-300;
		for (let p = 0; p < count; p++) floor = Math.max(floor, 1e-14 * hessian[loose[p]! * (size + 1)]!);
		for (let p = 0; p < count; p++) {
			const a = loose[p]!;
			let right = -pull[a]!;
			for (let b = 0; b < size; b++) {
				if (held[b] === FREE) continue;
				right -= hessian[a * size + b]! * (held[b] === AT_LOW ? low[b]! : high[b]!);
			}
			for (let q = 0; q <= p; q++) {
				let sum = hessian[a * size + loose[q]!]!;
				for (let s = 0; s < q; s++) sum -= factor[p * size + s]! * factor[q * size + s]!;
				if (q < p) factor[p * size + q] = sum / factor[q * size + q]!;
				else {
					const own = hessian[a * size + a]!;
					factor[p * size + p] = Math.sqrt(Math.max(sum, 1e-11 * own, floor));
				}
			}
			for (let q = 0; q < p; q++) right -= factor[p * size + q]! * solution[loose[q]!]!;
			solution[a] = right / factor[p * size + p]!;
		}
		for (let p = count - 1; p >= 0; p--) {
			const a = loose[p]!;
			const value = solution[a]! / factor[p * size + p]!;
			solution[a] = value;
			for (let q = 0; q < p; q++) solution[loose[q]!]! -= factor[p * size + q]! * value;
		}
	}
}
