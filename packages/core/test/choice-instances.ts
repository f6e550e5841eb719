import type { ChoiceLayout, ChoiceProblem, ChoiceVariable } from '../src/balance/choice/types.js';

/** Small seeded generator (mulberry32: 32-bit state, known constants), so that every run sees the same instances. */
export function seededRandom(seed: number): () => number {
	let state = seed | 0;
	return () => {
		state = (state + 0x6d2b79f5) | 0;
		let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
		mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
		return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
	};
}

/** Standard normal draws from a uniform source. */
export function normalFrom(random: () => number): () => number {
	return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/**
 * An invented small problem with at most `mostLayouts` layouts. By the seed it is plain, exactly singular (columns that
 * repeat or cancel), on a grid without zero, off the grid, with locked adjusters, with stock that binds, with rows of
 * predicted spread, or impossible.
 */
export function smallInstance(seed: number, mostLayouts: number): ChoiceProblem {
	const random = seededRandom(seed);
	const normal = normalFrom(random);
	const whole = (from: number, to: number) => from + Math.floor(random() * (to - from + 1));
	const size = whole(1, 7);
	const singular = random() < 0.4;
	const variables: ChoiceVariable[] = [];
	let room = mostLayouts;
	for (let j = 0; j < size; j++) {
		const share = Math.floor(room ** (1 / (size - j)));
		const most = Math.max(
			1,
			Math.min(whole(Math.ceil(share / 2), 2 * share), Math.floor(room / 2 ** (size - 1 - j)), 24),
		);
		// Columns that cancel make ties only where the steps agree.
		const step = singular ? 1 : [1, 0.5, 0.25, 7][whole(0, 3)]!;
		const first = (singular ? whole(-2, 0) : whole(-6, 3)) * step + (!singular && random() < 0.2 ? step / 3 : 0);
		const allowed = random() < 0.08 ? [] : Array.from({ length: most }, (_, i) => first + i * step);
		const onGrid = allowed[whole(0, Math.max(0, allowed.length - 1))] ?? first;
		const current = random() < 0.2 ? onGrid + 0.4 * step : onGrid;
		room = Math.floor(room / (allowed.length + (allowed.includes(current) ? 0 : 1)));
		variables.push({
			id: `a${j}`,
			kind: j % 2 === 0 ? 'mass' : 'tab',
			current,
			allowed,
			effort: whole(0, 2),
			mass: j % 2 === 0 ? whole(0, 2) : 0,
		});
	}
	const columns = variables.map(() => [normal(), normal(), normal(), normal(), normal(), normal()]);
	if (singular && size > 1) {
		columns[size - 1] = columns[0]!.map((value) => (seed % 2 === 0 ? value : -value));
		if (size > 3) columns[2] = columns[1]!.map(() => 0);
		if (size > 4) columns[3] = columns[1]!.map((value) => -2 * value);
	}
	const terms = Array.from({ length: whole(1, 3) }, (_, k) => {
		const rows = [2 * k, 2 * k + 1].map((r) => columns.map((column) => column[r]!));
		const offset = [4 * normal(), 4 * normal()];
		if (random() < 0.3) {
			for (let j = 0; j < size; j++) {
				rows.push(columns.map((_, i) => (i === j ? 0.2 * normal() : 0)));
				offset.push(0);
			}
		}
		return { id: `k${k}`, rows, offset, weight: k === 0 ? 1 : whole(0, 3) };
	});
	const constraints =
		random() < 0.4 ? [{ coefficients: variables.map(() => whole(-1, 2)), atMost: whole(-4, 12) }] : [];
	return {
		terms,
		variables,
		constraints,
		maxTouches: whole(0, size + 1),
		objective: random() < 0.7 ? 'worst' : 'weighted-squares',
		keepBest: [1, 1, 1, 2, 5][whole(0, 4)]!,
	};
}

/** Value of one layout straight from the definition, with no more algebra than that. */
export function layoutValue(problem: ChoiceProblem, settings: readonly number[]): number {
	let worst = 0;
	let sum = 0;
	for (const { rows, offset, weight } of problem.terms) {
		let square = 0;
		for (let r = 0; r < rows.length; r++) {
			let length = offset[r]!;
			for (let j = 0; j < settings.length; j++) length += rows[r]![j]! * settings[j]!;
			square += length * length;
		}
		worst = Math.max(worst, square);
		sum += (weight ?? 1) * square;
	}
	return problem.objective === 'worst' ? worst : sum;
}

export interface CountedBest {
	/** Per number of touches 0 … most the best layouts, best first. */
	readonly best: ChoiceLayout[][];
	/** Layouts walked, the impossible ones too. */
	readonly counted: number;
	/** More than one layout shares the best value for some number of touches. */
	readonly tied: boolean;
}

/**
 * The best layouts for each number of touches 0 … most by counting through every layout that meets the constraints: a
 * first walk notes all values and from them the ties that the best reach into, a second one picks the layouts of those.
 */
export function bestByCounting(problem: ChoiceProblem, most: number): CountedBest {
	const keep = problem.keepBest ?? 1;
	const values: number[][] = Array.from({ length: most + 1 }, () => []);
	const counted = walk(problem, most, (touches, _, value) => {
		values[touches]!.push(value);
	});
	let below = new Float64Array();
	const ties = values.map((own) => {
		const merged = new Float64Array(below.length + own.length);
		merged.set(below);
		merged.set(own, below.length);
		below = merged.sort();
		return tiesReached(below, keep);
	});
	walk(problem, most, (touches, settings, value) => {
		for (let t = touches; t <= most; t++) {
			const tie = ties[t]!.find(({ from, to }) => value >= from && value <= to);
			if (tie === undefined) continue;
			tie.layouts.push(layoutOf(problem, settings, value));
			if (tie.layouts.length > keep + 20) tie.layouts = tie.layouts.sort(byTieRule).slice(0, keep);
		}
	});
	return {
		best: ties.map((list) => list.flatMap((tie) => tie.layouts.sort(byTieRule)).slice(0, keep)),
		counted,
		tied: ties.some(([first]) => first !== undefined && first.count > 1),
	};
}

interface Tie {
	readonly from: number;
	readonly to: number;
	readonly count: number;
	layouts: ChoiceLayout[];
}

/** The groups of equal values, lowest first, until `keep` values are covered. A value within 1e-9 of a group's lowest is in it. */
function tiesReached(ascending: Float64Array, keep: number): Tie[] {
	const ties: Tie[] = [];
	let covered = 0;
	while (covered < keep && covered < ascending.length) {
		const from = ascending[covered]!;
		const to = from * (1 + 1e-9) + 1e-18;
		let end = covered;
		while (end < ascending.length && ascending[end]! <= to) end++;
		ties.push({ from, to, count: end - covered, layouts: [] });
		covered = end;
	}
	return ties;
}

/** Visits every layout that meets the constraints with at most `most` touches; returns how many there are without either. */
function walk(
	problem: ChoiceProblem,
	most: number,
	visit: (touches: number, settings: readonly number[], value: number) => void,
): number {
	const choices = problem.variables.map(({ allowed, current }) => [...new Set([...allowed, current])]);
	const settings: number[] = [];
	let counted = 0;
	const set = (j: number, touches: number): void => {
		if (j < choices.length) {
			for (const value of choices[j]!) {
				settings[j] = value;
				set(j + 1, value === problem.variables[j]!.current ? touches : touches + 1);
			}
			return;
		}
		counted++;
		if (touches > most) return;
		for (const { coefficients, atMost } of problem.constraints) {
			let used = 0;
			for (let i = 0; i < settings.length; i++) used += coefficients[i]! * settings[i]!;
			if (used > atMost + 1e-9) return;
		}
		visit(touches, settings, layoutValue(problem, settings));
	};
	set(0, 0);
	return counted;
}

function layoutOf(problem: ChoiceProblem, settings: readonly number[], value: number): ChoiceLayout {
	const touched = problem.variables.filter((variable, j) => variable.current !== settings[j]);
	return {
		settings: [...settings],
		value,
		touches: touched.length,
		mass: problem.variables.reduce((sum, variable, j) => sum + variable.mass * Math.abs(settings[j]!), 0),
		effort: touched.reduce((sum, variable) => sum + variable.effort, 0),
	};
}

function byTieRule(a: ChoiceLayout, b: ChoiceLayout): number {
	if (Math.abs(a.mass - b.mass) > 1e-9) return a.mass - b.mass;
	if (Math.abs(a.effort - b.effort) > 1e-9) return a.effort - b.effort;
	const j = a.settings.findIndex((value, i) => value !== b.settings[i]);
	return j < 0 ? 0 : a.settings[j]! - b.settings[j]!;
}
