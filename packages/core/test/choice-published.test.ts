import { describe, expect, it } from 'vitest';
import { chooseSettings } from '../src/balance/choice/choose-settings.js';
import type { ChoiceLayout, ChoiceProblem, ChoiceVariable } from '../src/balance/choice/types.js';
import { vectorRow } from './published-vectors.js';

const FILE = 'choice/discrete.json';

describe('published and computed discrete examples, solved by chooseSettings(problem)', () => {
	const onePlane = vectorRow<OnePlane, OnePlaneAnswer>(FILE, 'dis-one-plane');
	it(onePlane.says('washers on five bolts against 37 g at 128°'), () => {
		const { target, bolt_deg, washers } = onePlane.inputs;
		const loads = new Set<number>();
		for (let a = 0; a <= washers[0]!.max_per_bolt; a++) {
			for (let b = 0; b <= washers[1]!.max_per_bolt; b++) loads.add(a * washers[0]!.g + b * washers[1]!.g);
		}
		const allowed = [...loads].sort((a, b) => a - b);
		const layouts = bestLayouts({
			terms: [
				phasorTerm(
					'residual',
					bolt_deg.map((deg) => polar(1, deg)),
					polar(-target.g, target.deg),
					1,
				),
			],
			variables: bolt_deg.map((deg) => adjuster(`bolt ${deg}`, allowed, 1)),
			constraints: [],
			maxTouches: 5,
			objective: 'worst',
			keepBest: 40,
		});
		const residuals = distinct(layouts.map((layout) => Math.sqrt(layout.value)));
		// Tolerance of the row: 1e-6 g; its figures are printed to 8 or 9 digits.
		expect(residuals[0]).toBeCloseTo(onePlane.expected.best_residual_g, 6);
		expect(layouts[0]!.settings).toEqual(onePlane.expected.mass_per_bolt_g);
		expect(layouts[0]!.mass).toBe(onePlane.expected.total_mass_g);
		expect(residuals[1]).toBeCloseTo(onePlane.expected.next_distinct_residuals_g[0]!, 6);
		expect(residuals[2]).toBeCloseTo(onePlane.expected.next_distinct_residuals_g[1]!, 6);
		const third = layouts.find((layout) => Math.abs(Math.sqrt(layout.value) - residuals[2]!) < 1e-9)!;
		expect(third.settings).toEqual(onePlane.expected.third_best_least_mass.mass_per_bolt_g);
		expect(third.mass).toBe(onePlane.expected.third_best_least_mass.total_g);
	});

	const minimax = vectorRow<TwoPlane, MinimaxAnswer>(FILE, 'dis-two-plane-minimax');
	it(minimax.says('least mass wins the tie between two layouts'), () => {
		const layouts = bestLayouts(twoPlaneProblem(minimax.inputs));
		const { counts_plane1, counts_plane2, worst_ratio, total_g, tie, next_ratio } = minimax.expected;
		expect(layouts[0]!.settings).toEqual([...counts_plane1, ...counts_plane2]);
		expect(layouts[0]!.mass).toBe(total_g);
		expect(layouts[1]!.settings).toEqual(tie.counts);
		expect(layouts[1]!.mass).toBe(tie.total_g);
		// Tolerance of the row: 1e-6 on the ratio.
		expect(Math.sqrt(layouts[0]!.value)).toBeCloseTo(worst_ratio, 6);
		expect(Math.sqrt(layouts[1]!.value)).toBeCloseTo(worst_ratio, 6);
		expect(Math.sqrt(layouts[2]!.value)).toBeCloseTo(next_ratio, 6);
	});

	const leastMass = vectorRow<TwoPlane, LeastMassAnswer>(FILE, 'dis-two-plane-least-mass');
	it(leastMass.says('of all layouts inside every limit the lightest'), () => {
		const layouts = bestLayouts(twoPlaneProblem(leastMass.inputs));
		const inside = layouts.filter((layout) => layout.value <= 1);
		expect(inside.length).toBeLessThan(layouts.length);
		expect(inside.length).toBe(leastMass.expected.feasible_layouts);
		const lightest = inside.reduce((a, b) => (b.mass < a.mass ? b : a));
		expect(lightest.mass).toBe(leastMass.expected.total_g);
		expect(lightest.settings).toEqual([...leastMass.expected.counts_plane1, ...leastMass.expected.counts_plane2]);
	});

	const tight = vectorRow<TwoPlane & { limit_factor: number }, { best_possible_worst_ratio: number }>(
		FILE,
		'dis-infeasible',
	);
	it(tight.says('limits nothing can meet give the nearest layout and a value that says so'), () => {
		const limit_ips = tight.inputs.limit_ips.map((limit) => limit * tight.inputs.limit_factor);
		const outcome = chooseSettings({ ...twoPlaneProblem({ ...tight.inputs, limit_ips }), keepBest: 1 });
		const answer = outcome.byTouches.at(-1)!;
		expect(answer).toMatchObject({ state: 'found', proved: true });
		const ratio = answer.state === 'found' ? Math.sqrt(answer.best.value) : Number.NaN;
		expect(ratio).toBeGreaterThan(1);
		expect(ratio * tight.inputs.limit_factor).toBeCloseTo(tight.expected.best_possible_worst_ratio, 6);
	});

	for (const [id, reach, tolerance] of [
		// Tolerances of the rows: objective to 1e-6 recalled, to 1e-3 as printed by the source.
		['ils-3d', 6, 1e-6],
		['ils-rtklib-2', 30, 1e-3],
	] as const) {
		const row = vectorRow<IntegerLeastSquares, IntegerLeastSquaresAnswer>(FILE, id);
		it(row.says('best and second whole vectors of an integer least-squares problem'), () => {
			const { a_float, Q } = row.inputs;
			// Counted from the rounded vector: seven-digit whole numbers would cancel the digits that are compared.
			const rounded = a_float.map(Math.round);
			const layouts = bestLayouts({
				terms: [
					whitenedTerm(
						Q,
						a_float.map((value, j) => value - rounded[j]!),
					),
				],
				variables: a_float.map((_, j) =>
					adjuster(
						`n${j}`,
						Array.from({ length: 2 * reach + 1 }, (_, i) => i - reach),
						0,
					),
				),
				constraints: [],
				maxTouches: a_float.length,
				touchCounts: [a_float.length],
				objective: 'weighted-squares',
				keepBest: 2,
			});
			const whole = layouts.map((layout) => layout.settings.map((value, j) => rounded[j]! + value));
			expect(whole).toEqual([row.expected.best, row.expected.second]);
			expect(Math.abs(layouts[0]!.value - row.expected.objective_best)).toBeLessThan(tolerance);
			expect(Math.abs(layouts[1]!.value - row.expected.objective_second)).toBeLessThan(tolerance);
		});
	}

	const twoVariables = vectorRow<unknown, { integer_optimum: number; optimal_points: number[][] }>(FILE, 'mip-two-var');
	it(twoVariables.says('the integer optimum is not the rounded linear optimum'), () => {
		// Largest y as least distance to a y out of reach.
		const layouts = bestLayouts({
			terms: [{ id: 'y', rows: [[0, 1]], offset: [-10] }],
			variables: ['x', 'y'].map((id) => adjuster(id, [0, 1, 2, 3, 4, 5, 6], 0)),
			constraints: [
				{ coefficients: [-1, 1], atMost: 1 },
				{ coefficients: [3, 2], atMost: 12 },
				{ coefficients: [2, 3], atMost: 12 },
			],
			maxTouches: 2,
			objective: 'worst',
			keepBest: 3,
		});
		expect(layouts.slice(0, 2).map((layout) => layout.settings)).toEqual(twoVariables.expected.optimal_points);
		expect(10 - Math.sqrt(layouts[0]!.value)).toBeCloseTo(twoVariables.expected.integer_optimum, 9);
		expect(layouts[2]!.value).toBeGreaterThan(layouts[1]!.value + 1);
	});

	for (const id of ['mip-knapsack-p01', 'mip-knapsack-p02']) {
		const row = vectorRow<Knapsack, { optimum: number; selection: number[] }>(FILE, id);
		it(row.says('a knapsack as one quantity and one constraint'), () => {
			const { capacity, weight, profit } = row.inputs;
			const outOfReach = profit.reduce((sum, value) => sum + value, 0);
			const [best] = bestLayouts({
				terms: [{ id: 'profit', rows: [profit], offset: [-outOfReach] }],
				variables: profit.map((_, j) => adjuster(`item ${j}`, [0, 1], 0)),
				constraints: [{ coefficients: weight, atMost: capacity }],
				maxTouches: profit.length,
				objective: 'worst',
			});
			expect(best!.settings).toEqual(row.expected.selection);
			expect(outOfReach - Math.sqrt(best!.value)).toBeCloseTo(row.expected.optimum, 9);
		});
	}
});

interface OnePlane {
	readonly target: { g: number; deg: number };
	readonly bolt_deg: readonly number[];
	readonly washers: readonly { g: number; max_per_bolt: number }[];
}
interface OnePlaneAnswer {
	readonly best_residual_g: number;
	readonly mass_per_bolt_g: readonly number[];
	readonly total_mass_g: number;
	readonly next_distinct_residuals_g: readonly number[];
	readonly third_best_least_mass: { mass_per_bolt_g: readonly number[]; total_g: number };
}
interface AmpDeg {
	readonly amp: number;
	readonly deg: number;
}
interface Plane {
	readonly deg: readonly number[];
	readonly unit_g: number;
	readonly max: number;
}
interface TwoPlane {
	readonly H_ips_per_g: readonly (readonly AmpDeg[])[];
	readonly V0_ips: readonly AmpDeg[];
	readonly limit_ips: readonly number[];
	readonly plane1: Plane;
	readonly plane2: Plane;
}
interface MinimaxAnswer {
	readonly counts_plane1: readonly number[];
	readonly counts_plane2: readonly number[];
	readonly worst_ratio: number;
	readonly total_g: number;
	readonly tie: { counts: readonly number[]; total_g: number };
	readonly next_ratio: number;
}
interface LeastMassAnswer {
	readonly counts_plane1: readonly number[];
	readonly counts_plane2: readonly number[];
	readonly total_g: number;
	readonly feasible_layouts: number;
}
interface IntegerLeastSquares {
	readonly a_float: readonly number[];
	readonly Q: readonly (readonly number[])[];
}
interface IntegerLeastSquaresAnswer {
	readonly best: readonly number[];
	readonly second: readonly number[];
	readonly objective_best: number;
	readonly objective_second: number;
}
interface Knapsack {
	readonly capacity: number;
	readonly weight: readonly number[];
	readonly profit: readonly number[];
}

function bestLayouts(problem: ChoiceProblem): readonly ChoiceLayout[] {
	const answer = chooseSettings(problem).byTouches.at(-1)!;
	if (answer.state !== 'found' || !answer.proved) throw new Error('no proved answer');
	return answer.layouts;
}

function adjuster(id: string, allowed: readonly number[], mass: number): ChoiceVariable {
	const current = allowed.includes(0) ? 0 : allowed[0]!;
	return { id, kind: 'example', current, allowed, effort: 0, mass };
}

function polar(amp: number, deg: number): readonly [number, number] {
	return [amp * Math.cos((deg * Math.PI) / 180), amp * Math.sin((deg * Math.PI) / 180)];
}

function phasorTerm(
	id: string,
	columns: readonly (readonly [number, number])[],
	start: readonly [number, number],
	limit: number,
): ChoiceProblem['terms'][number] {
	const rows = [0, 1].map((part) => columns.map((column) => column[part]! / limit));
	return { id, rows, offset: start.map((value) => value / limit) };
}

function twoPlaneProblem({ H_ips_per_g, V0_ips, limit_ips, plane1, plane2 }: TwoPlane): ChoiceProblem {
	const points = [plane1, plane2].flatMap((plane, p) => plane.deg.map((deg) => ({ ...plane, deg, p })));
	return {
		terms: V0_ips.map((start, r) => {
			const columns = points.map(({ deg, unit_g, p }) => {
				const influence = H_ips_per_g[r]![p]!;
				return polar(influence.amp * unit_g, influence.deg + deg);
			});
			return phasorTerm(`regime ${r}`, columns, polar(start.amp, start.deg), limit_ips[r]!);
		}),
		variables: points.map(({ deg, max, unit_g, p }) =>
			adjuster(
				`plane ${p + 1} at ${deg}`,
				Array.from({ length: max + 1 }, (_, count) => count),
				unit_g,
			),
		),
		constraints: [],
		maxTouches: points.length,
		objective: 'worst',
		keepBest: 3,
	};
}

/** Rows L⁻¹ with Q = L·Lᵀ, so that ‖L⁻¹(x − centre)‖² = (x − centre)ᵀQ⁻¹(x − centre) without forming Q⁻¹. */
function whitenedTerm(Q: readonly (readonly number[])[], centre: readonly number[]): ChoiceProblem['terms'][number] {
	const size = centre.length;
	const lower: number[][] = [];
	const rows: number[][] = [];
	for (let i = 0; i < size; i++) {
		const line: number[] = [];
		for (let j = 0; j <= i; j++) {
			let rest = Q[i]![j]!;
			for (let k = 0; k < j; k++) rest -= line[k]! * (i === j ? line[k]! : lower[j]![k]!);
			line.push(i === j ? Math.sqrt(rest) : rest / lower[j]![j]!);
		}
		lower.push(line);
		const row = Array.from({ length: size }, (_, c) => (c === i ? 1 : 0));
		for (let k = 0; k < i; k++) for (let c = 0; c < size; c++) row[c]! -= line[k]! * rows[k]![c]!;
		rows.push(row.map((value) => value / line[i]!));
	}
	return { id: 'square', rows, offset: rows.map((row) => -row.reduce((sum, value, j) => sum + value * centre[j]!, 0)) };
}

function distinct(values: readonly number[]): number[] {
	return values.filter((value, i) => i === 0 || value - values[i - 1]! > 1e-9);
}
