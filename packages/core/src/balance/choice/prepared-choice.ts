import { triangularRows } from './triangular-rows.js';
import type { ChoiceProblem } from './types.js';

/**
 * The problem as flat arrays over *changes* d = value − current, so that an untouched adjuster is exactly 0 and drops out.
 * `weighted-squares` becomes one single term, so the search knows only "smallest worst squared length".
 */
export interface PreparedChoice {
	/** Number of variables. */
	readonly size: number;
	/** Per variable the values it may take, ascending, the current one among them. */
	readonly settings: readonly Float64Array[];
	/** The same as changes: value − current, so 0 is among them. */
	readonly changes: readonly Float64Array[];
	/** Per variable the place of 0 in `changes`. */
	readonly zeroAt: Int32Array;
	/** Per variable the smallest distance between two changes (1 where there is only one). */
	readonly step: Float64Array;
	readonly termCount: number;
	/** Rows of term k are `rowStart[k]` … `rowStart[k + 1] − 1`. */
	readonly rowStart: Int32Array;
	/** F, row after row, `size` numbers each. */
	readonly rows: Float64Array;
	readonly offset: Float64Array;
	/** Per term FᵀF, `size`² numbers. */
	readonly gram: Float64Array;
	/** Per term Fᵀg, `size` numbers. */
	readonly linear: Float64Array;
	/** Per term gᵀg. */
	readonly constant: Float64Array;
	/** Constraints over changes, one after the other, `size` coefficients each. */
	readonly limits: Float64Array;
	readonly limitAtMost: Float64Array;
	/** Slack for rounding in the sums of a constraint. */
	readonly limitSlack: Float64Array;
	readonly mass: Float64Array;
	readonly effort: Float64Array;
	/** Largest squared length any term can reach: what rounding errors are relative to. */
	readonly scale: number;
}

/** Turns a checked problem into flat arrays. */
export function prepareChoice(problem: ChoiceProblem): PreparedChoice {
	const size = problem.variables.length;
	const current = Float64Array.from(problem.variables, (variable) => variable.current);
	const settings = problem.variables.map(({ allowed, current }) =>
		Float64Array.from(allowed.includes(current) ? allowed : [...allowed, current]).sort(),
	);
	const changes = settings.map((values, j) => values.map((value) => value - current[j]!));
	const blocks = termBlocks(problem, current);
	const rowStart = new Int32Array(blocks.length + 1);
	blocks.forEach((block, k) => {
		rowStart[k + 1] = rowStart[k]! + block.length;
	});
	const rowCount = rowStart[blocks.length]!;
	const rows = new Float64Array(rowCount * size);
	const offset = new Float64Array(rowCount);
	blocks.flat().forEach((row, r) => {
		for (let j = 0; j < size; j++) rows[r * size + j] = row[j]!;
		offset[r] = row[size]!;
	});
	const limits = new Float64Array(problem.constraints.length * size);
	const limitAtMost = new Float64Array(problem.constraints.length);
	const limitSlack = new Float64Array(problem.constraints.length);
	problem.constraints.forEach((constraint, c) => {
		let atMost = constraint.atMost;
		let magnitude = Math.abs(atMost);
		for (let j = 0; j < size; j++) {
			const coefficient = constraint.coefficients[j]!;
			limits[c * size + j] = coefficient;
			atMost -= coefficient * current[j]!;
			magnitude += Math.abs(coefficient) * (Math.abs(current[j]!) + reach(changes[j]!));
		}
		limitAtMost[c] = atMost;
		limitSlack[c] = 1e-12 * magnitude;
	});
	return {
		size,
		settings,
		changes,
		zeroAt: Int32Array.from(settings, (values, j) => values.indexOf(current[j]!)),
		step: Float64Array.from(changes, smallestStep),
		termCount: blocks.length,
		rowStart,
		rows,
		offset,
		...quadratics(size, rowStart, rows, offset),
		limits,
		limitAtMost,
		limitSlack,
		mass: Float64Array.from(problem.variables, (variable) => variable.mass),
		effort: Float64Array.from(problem.variables, (variable) => variable.effort),
		scale: largestSquare(changes, rowStart, rows, offset),
	};
}

/** The value of a whole layout: the largest squared length. */
export function worstSquare(
	{ size, termCount, rowStart, rows, offset }: PreparedChoice,
	changes: Float64Array,
): number {
	let worst = 0;
	for (let k = 0; k < termCount; k++) {
		let square = 0;
		for (let r = rowStart[k]!; r < rowStart[k + 1]!; r++) {
			let length = offset[r]!;
			for (let j = 0; j < size; j++) length += rows[r * size + j]! * changes[j]!;
			square += length * length;
		}
		worst = Math.max(worst, square);
	}
	return worst;
}

/** Rows [F | g + F·current] per term, at most size + 1 of them. */
function termBlocks(problem: ChoiceProblem, current: Float64Array): (readonly number[])[][] {
	const blocks = problem.terms.map((term) =>
		term.rows.map((row, r) => {
			let shifted = term.offset[r]!;
			for (let j = 0; j < row.length; j++) shifted += row[j]! * current[j]!;
			return [...row, shifted];
		}),
	);
	if (problem.objective === 'worst') return blocks.map(triangularRows);
	const weighted = blocks.flatMap((block, k) => {
		const root = Math.sqrt(problem.terms[k]!.weight ?? 1);
		return block.map((row) => row.map((value) => value * root));
	});
	return [triangularRows(weighted)];
}

function quadratics(size: number, rowStart: Int32Array, rows: Float64Array, offset: Float64Array) {
	const termCount = rowStart.length - 1;
	const gram = new Float64Array(termCount * size * size);
	const linear = new Float64Array(termCount * size);
	const constant = new Float64Array(termCount);
	for (let k = 0; k < termCount; k++) {
		for (let r = rowStart[k]!; r < rowStart[k + 1]!; r++) {
			constant[k]! += offset[r]! ** 2;
			for (let i = 0; i < size; i++) {
				const value = rows[r * size + i]!;
				linear[k * size + i]! += value * offset[r]!;
				for (let j = 0; j < size; j++) gram[(k * size + i) * size + j]! += value * rows[r * size + j]!;
			}
		}
	}
	return { gram, linear, constant };
}

function largestSquare(
	changes: readonly Float64Array[],
	rowStart: Int32Array,
	rows: Float64Array,
	offset: Float64Array,
): number {
	let largest = 0;
	for (let k = 0; k + 1 < rowStart.length; k++) {
		let square = 0;
		for (let r = rowStart[k]!; r < rowStart[k + 1]!; r++) {
			let length = Math.abs(offset[r]!);
			for (let j = 0; j < changes.length; j++) length += Math.abs(rows[r * changes.length + j]!) * reach(changes[j]!);
			square += length * length;
		}
		largest = Math.max(largest, square);
	}
	return largest;
}

function reach(values: Float64Array): number {
	return Math.max(Math.abs(values[0]!), Math.abs(values[values.length - 1]!));
}

function smallestStep(values: Float64Array): number {
	let step = Number.POSITIVE_INFINITY;
	for (let i = 1; i < values.length; i++) step = Math.min(step, values[i]! - values[i - 1]!);
	return Number.isFinite(step) ? step : 1;
}
