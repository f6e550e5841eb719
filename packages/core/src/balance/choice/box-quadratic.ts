const FREE = 0;
const AT_LOW = 1;
const AT_HIGH = 2;
/** Rounds in which all wrong variables change sides at once; it nearly always settles within five. */
const PIVOT_ROUNDS = 10;
/** Rounds of the careful way. */
const DESCENT_ROUNDS = 60;
/** Part of the largest summand, or of the box, that counts as nothing. */
const NEARLY = 1e-10;

/**
 * Finds the lowest point of a convex quadratic xᵀHx + 2·pull·x in a box by an active set: variables that would leave the
 * box are held at its edge, held ones that pull inwards are let go, first all at once (block pivoting), and if that turns
 * in circles one at a time along a path that only descends. Holds its work space and the last partition, where the next
 * call begins. Source: textbook methods (J. Nocedal, S. J. Wright, Numerical Optimization, chapter 16), from memory.
 */
export class BoxQuadratic {
	private readonly factor: Float64Array;
	private readonly solution: Float64Array;
	private readonly held: Uint8Array;
	private readonly loose: Int32Array;
	private readonly pulls: Float64Array;
	private size = 0;
	private looseCount = 0;

	/** @param most largest number of variables */
	constructor(most: number) {
		this.factor = new Float64Array(most * most);
		this.solution = new Float64Array(most);
		this.held = new Uint8Array(most);
		this.loose = new Int32Array(most);
		this.pulls = new Float64Array(most);
	}

	/** Begins a new box: no variable is held. */
	reset(size: number): void {
		this.size = size;
		this.held.fill(FREE, 0, size);
	}

	/**
	 * The answer holds to rounding unless the rounds ran out; callers use only what is true at any point of the box.
	 * @param centre out: the point, always in the box   @param slope out: H·centre + pull, half the gradient
	 */
	lowest(
		hessian: Float64Array,
		pull: Float64Array,
		low: Float64Array,
		high: Float64Array,
		centre: Float64Array,
		slope: Float64Array,
	): void {
		const { size, held } = this;
		for (let round = 0; round < PIVOT_ROUNDS; round++) {
			this.solveLoose(hessian, pull, low, high);
			for (let a = 0; a < size; a++) {
				centre[a] = held[a] === AT_LOW ? low[a]! : held[a] === AT_HIGH ? high[a]! : this.solution[a]!;
			}
			this.measure(hessian, pull, centre, slope);
			let wrong = 0;
			for (let a = 0; a < size; a++) {
				if (held[a] === FREE) {
					const spare = NEARLY * (high[a]! - low[a]!);
					if (centre[a]! < low[a]! - spare) held[a] = AT_LOW;
					else if (centre[a]! > high[a]! + spare) held[a] = AT_HIGH;
					else continue;
				} else if (this.pullsIn(a)) held[a] = FREE;
				else continue;
				wrong++;
			}
			if (wrong === 0) {
				for (let a = 0; a < size; a++) centre[a] = Math.min(Math.max(centre[a]!, low[a]!), high[a]!);
				return;
			}
		}
		this.descend(hessian, pull, low, high, centre, slope);
	}

	/** The careful way: from a point of the box downhill, one variable held or let go at a time. */
	private descend(
		hessian: Float64Array,
		pull: Float64Array,
		low: Float64Array,
		high: Float64Array,
		centre: Float64Array,
		slope: Float64Array,
	): void {
		const { size, held, solution } = this;
		for (let a = 0; a < size; a++) {
			centre[a] = Math.min(Math.max(centre[a]!, low[a]!), high[a]!);
			held[a] = centre[a] === low[a] ? AT_LOW : centre[a] === high[a] ? AT_HIGH : FREE;
		}
		for (let round = 0; round < DESCENT_ROUNDS; round++) {
			this.solveLoose(hessian, pull, low, high);
			let reach = 1;
			let blocking = -1;
			for (let a = 0; a < size; a++) {
				if (held[a] !== FREE) continue;
				const way = solution[a]! - centre[a]!;
				const room = way < 0 ? low[a]! - centre[a]! : high[a]! - centre[a]!;
				if (Math.abs(way) * reach > Math.abs(room)) {
					reach = room / way;
					blocking = a;
				}
			}
			for (let a = 0; a < size; a++) if (held[a] === FREE) centre[a]! += reach * (solution[a]! - centre[a]!);
			if (blocking >= 0) {
				held[blocking] = solution[blocking]! < centre[blocking]! ? AT_LOW : AT_HIGH;
				centre[blocking] = held[blocking] === AT_LOW ? low[blocking]! : high[blocking]!;
				continue;
			}
			this.measure(hessian, pull, centre, slope);
			let loosen = -1;
			for (let a = 0; a < size; a++) {
				if (held[a] === FREE || !this.pullsIn(a)) continue;
				if (loosen < 0 || Math.abs(slope[a]!) > Math.abs(slope[loosen]!)) loosen = a;
			}
			if (loosen < 0) break;
			held[loosen] = FREE;
		}
		for (let a = 0; a < size; a++) centre[a] = Math.min(Math.max(centre[a]!, low[a]!), high[a]!);
		this.measure(hessian, pull, centre, slope);
	}

	/** H·centre + pull. What cancels to rounding has no sign: taken at its word it would keep the partition turning. */
	private measure(hessian: Float64Array, pull: Float64Array, centre: Float64Array, slope: Float64Array): void {
		const { size, pulls } = this;
		for (let a = 0; a < size; a++) {
			let sum = pull[a]!;
			let largest = Math.abs(sum);
			for (let b = 0; b < size; b++) {
				const part = hessian[a * size + b]! * centre[b]!;
				sum += part;
				largest = Math.max(largest, Math.abs(part));
			}
			slope[a] = sum;
			pulls[a] = Math.abs(sum) > NEARLY * largest ? sum : 0;
		}
	}

	private pullsIn(a: number): boolean {
		return this.held[a] === AT_LOW ? this.pulls[a]! < 0 : this.pulls[a]! > 0;
	}

	/** Curvature of the lowest value along `direction`: dᵀH⁻¹d over the variables that are not held. */
	compliance(direction: Float64Array): number {
		const { factor, loose, size, solution } = this;
		let total = 0;
		for (let p = 0; p < this.looseCount; p++) {
			let sum = direction[loose[p]!]!;
			for (let q = 0; q < p; q++) sum -= factor[p * size + q]! * solution[loose[q]!]!;
			const value = sum / factor[p * size + p]!;
			solution[loose[p]!] = value;
			total += value * value;
		}
		return total;
	}

	/** Solves for the variables that are not held, by Cholesky; a column that depends on earlier ones gets a tiny ridge. */
	private solveLoose(hessian: Float64Array, pull: Float64Array, low: Float64Array, high: Float64Array): void {
		const { factor, solution, held, loose, size } = this;
		let count = 0;
		for (let a = 0; a < size; a++) if (held[a] === FREE) loose[count++] = a;
		this.looseCount = count;
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
				else factor[p * size + p] = Math.sqrt(Math.max(sum, 1e-11 * hessian[a * size + a]!, floor));
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
