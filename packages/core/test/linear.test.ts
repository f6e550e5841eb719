import { Matrix, QrDecomposition } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import {
	complexLeastSquares,
	leastSquares,
	meansOf,
	priorEstimate,
	type SquareRootEstimate,
	takeIn,
	variancesOf,
} from '../src/linear/index.js';
import { okValue, vectorRow } from './published-vectors.js';

interface Certified {
	readonly beta: readonly number[];
	readonly sd: readonly number[];
	readonly residual_sd: number;
	readonly r_squared: number;
}
interface Data {
	readonly p: number;
	readonly x: readonly number[];
	readonly y: readonly number[];
}
const powers = (x: number, count: number) => Array.from({ length: count }, (_, k) => x ** k);

/** Correct digits of the worst coefficient, the measure NIST proposes. */
function digits(found: readonly number[], certified: readonly number[]): number {
	return Math.min(
		...found.map((value, k) => -Math.log10(Math.max(Math.abs(value / (certified[k] ?? Number.NaN) - 1), 1e-16))),
	);
}

describe('leastSquares on the NIST reference datasets', () => {
	for (const [id, needed] of [
		['nist-norris', 10],
		['nist-filip', 6],
		['nist-wampler1', 7],
		['nist-wampler2', 9],
		['nist-wampler3', 7],
	] as const) {
		const row = vectorRow<Data, Certified>('balance/nist-strd.json', id);
		it(row.says(`at least ${needed} correct digits in every coefficient`), () => {
			const { p, x, y } = row.inputs;
			const fit = okValue(
				leastSquares(
					x.map((value) => powers(value, p)),
					y,
				),
			);
			expect(digits(fit.coefficients, row.expected.beta)).toBeGreaterThan(needed);
			// perfect data have a residual sd of zero; what is left then is rounding beside the size of y
			const slack = 1e-9 * Math.max(...y.map(Math.abs));
			expect(Math.abs(fit.residualSd - row.expected.residual_sd)).toBeLessThan(
				Math.max(1e-6 * row.expected.residual_sd, slack),
			);
			if (row.expected.residual_sd > 0) expect(digits(fit.coefficientSds, row.expected.sd)).toBeGreaterThan(5);
		});
	}
	it('agrees with the QR of ml-matrix 6.15.1 on 200 seeded problems (1e-9 relative) [reference library]', () => {
		let state = 12345;
		const next = () => {
			state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff;
			return state / 0x40000000 - 1;
		};
		for (let round = 0; round < 200; round++) {
			const rows = 6 + (round % 9);
			const design = Array.from({ length: rows }, () => Array.from({ length: 4 }, next));
			const measured = Array.from({ length: rows }, next);
			const mine = okValue(leastSquares(design, measured)).coefficients;
			const theirs = new QrDecomposition(new Matrix(design)).solve(Matrix.columnVector(measured)).to1DArray();
			mine.forEach((value, k) => {
				expect(Math.abs(value - (theirs[k] ?? Number.NaN))).toBeLessThan(1e-9 * Math.max(1, Math.hypot(...theirs)));
			});
		}
	});
	interface Line {
		readonly t: readonly number[];
		readonly b: readonly number[];
	}
	const strang = vectorRow<
		Line,
		{ readonly C: number; readonly D: number; readonly e: readonly number[]; readonly sse: number }
	>('balance/least-squares.json', 'ls-strang-line');
	it(strang.says('line, residuals and their sum (1e-12)'), () => {
		const fit = okValue(
			leastSquares(
				strang.inputs.t.map((t) => [1, t]),
				strang.inputs.b,
			),
		);
		expect(fit.coefficients[0]).toBeCloseTo(strang.expected.C, 12);
		expect(fit.coefficients[1]).toBeCloseTo(strang.expected.D, 12);
		fit.residuals.forEach((e, k) => {
			expect(e).toBeCloseTo(strang.expected.e[k] ?? Number.NaN, 12);
		});
		expect(fit.weightedSquares).toBeCloseTo(strang.expected.sse, 12);
	});
	it('refuses too few rows, unknowns that cannot be told apart and values that are not numbers, with the path', () => {
		expect(leastSquares([[1, 2]], [3])).toMatchObject({ problem: { code: 'too-few-rows', found: 1, needed: 2 } });
		const doubled = [1, 2, 3].map((v) => [v, 2 * v]);
		expect(leastSquares(doubled, [1, 2, 3])).toMatchObject({ problem: { code: 'rank-deficient' } });
		expect(leastSquares([[1], [Number.NaN]], [1, 2])).toMatchObject({
			problem: { code: 'not-a-number', path: '$.design[1][0]' },
		});
		expect(leastSquares([[1], [1]], [1, 2], [1, -1])).toMatchObject({ problem: { path: '$.weights[1]' } });
		expect(leastSquares([[1], [1]], [1, Number.POSITIVE_INFINITY])).toMatchObject({
			problem: { path: '$.measured[1]' },
		});
	});
	it('complexLeastSquares gives the noise per axis with its degrees of freedom (hand-made case)', () => {
		// readings 1+1i, 1-1i, 1+1i, 1-1i of a constant: mean 1, squares 4, degrees of freedom 6
		const fit = okValue(
			complexLeastSquares(
				[1, 1, 1, 1].map((re) => [{ re, im: 0 }]),
				[1, -1, 1, -1].map((im) => ({ re: 1, im })),
			),
		);
		expect(fit.coefficients[0]).toEqual({ re: expect.closeTo(1, 12), im: expect.closeTo(0, 12) });
		expect(fit.residualSd).toBeCloseTo(Math.sqrt(4 / 6), 12);
		expect(fit.coefficientSds[0]).toBeCloseTo(Math.sqrt(4 / 6) / 2, 12);
	});
});

describe('square-root estimation, one reading at a time', () => {
	const taking = (start: SquareRootEstimate, row: readonly number[], z: number, sd: number) =>
		okValue(takeIn(start, row, z, sd));
	interface HeightInputs {
		readonly x0: number;
		readonly P0: number;
		readonly R: number;
		readonly z: readonly number[];
	}
	for (const [id, tolerance] of [
		['kf-height', 0.005],
		['kf-height-older', 0.01],
	] as const) {
		const row = vectorRow<HeightInputs, { readonly steps_K_x_P: readonly (readonly [number, number, number])[] }>(
			'balance/estimation.json',
			id,
		);
		it(row.says(`gain, state and variance after every reading (${tolerance}), in any order the same end`), () => {
			const { x0, P0, R, z } = row.inputs;
			let known = priorEstimate([x0], [Math.sqrt(P0)]);
			z.forEach((reading, k) => {
				known = taking(known, [1], reading, Math.sqrt(R));
				const [gain, state, variance] = row.expected.steps_K_x_P[k] ?? [Number.NaN, Number.NaN, Number.NaN];
				const [P = Number.NaN] = variancesOf(known);
				expect(Math.abs(P / R - gain)).toBeLessThan(tolerance);
				expect(Math.abs((meansOf(known)[0] ?? Number.NaN) - state)).toBeLessThan(tolerance);
				expect(Math.abs(P - variance)).toBeLessThan(tolerance);
			});
			const reversed = z
				.toReversed()
				.reduce((k, reading) => taking(k, [1], reading, Math.sqrt(R)), priorEstimate([x0], [Math.sqrt(P0)]));
			expect(meansOf(reversed)[0]).toBeCloseTo(meansOf(known)[0] ?? Number.NaN, 10);
		});
	}
	const norris = vectorRow<Data, Certified>('balance/nist-strd.json', 'nist-norris');
	const recursive = vectorRow<
		{ readonly p0: readonly number[] },
		{ readonly certified: { readonly B0: number; readonly B1: number } }
	>('balance/estimation.json', 'rls-norris');
	it(
		recursive.says('lands on the certified batch fit from wide priors (1e8: B0 1e-6, B1 1e-8) and keeps it at 1e12'),
		() => {
			const from = (p0: number) => {
				let known = priorEstimate([0, 0], [Math.sqrt(p0), Math.sqrt(p0)]);
				norris.inputs.x.forEach((x, k) => {
					known = taking(known, [1, x], norris.inputs.y[k] ?? Number.NaN, 1);
				});
				return meansOf(known);
			};
			for (const p0 of [1e8, 1e12]) {
				const [b0 = Number.NaN, b1 = Number.NaN] = from(p0);
				expect(Math.abs(b0 - recursive.expected.certified.B0)).toBeLessThan(1e-6);
				expect(Math.abs(b1 - recursive.expected.certified.B1)).toBeLessThan(1e-8);
			}
		},
	);
	interface Polar {
		readonly amp: number;
		readonly deg: number;
	}
	interface Moves {
		readonly prior_H: Polar;
		readonly prior_var: number;
		readonly reading_var: number;
		readonly moves: readonly { readonly W_g: Polar; readonly dV_exact_cartesian: readonly [number, number] }[];
	}
	const ic = vectorRow<Moves, { readonly steps: readonly { readonly H: Polar; readonly var: number }[] }>(
		'balance/estimation.json',
		'rls-complex-ic',
	);
	it(ic.says('one complex coefficient over four moves, mean and variance after each (1e-6)'), () => {
		const rad = Math.PI / 180;
		const { prior_H, prior_var, reading_var, moves } = ic.inputs;
		// the row states E|.|² of both axes together, so each axis has half
		let known = priorEstimate(
			[prior_H.amp * Math.cos(prior_H.deg * rad), prior_H.amp * Math.sin(prior_H.deg * rad)],
			[Math.sqrt(prior_var / 2), Math.sqrt(prior_var / 2)],
		);
		moves.forEach((move, k) => {
			const re = move.W_g.amp * Math.cos(move.W_g.deg * rad);
			const im = move.W_g.amp * Math.sin(move.W_g.deg * rad);
			known = taking(known, [re, -im], move.dV_exact_cartesian[0], Math.sqrt(reading_var / 2));
			known = taking(known, [im, re], move.dV_exact_cartesian[1], Math.sqrt(reading_var / 2));
			const step = ic.expected.steps[k];
			if (!step) throw new Error('one expected step per move');
			const [hre = Number.NaN, him = Number.NaN] = meansOf(known);
			expect(Math.abs(Math.hypot(hre, him) - step.H.amp)).toBeLessThan(1e-6);
			expect(Math.abs(Math.atan2(him, hre) / rad - step.H.deg)).toBeLessThan(1e-4);
			const spread = variancesOf(known).reduce((sum, v) => sum + v, 0);
			expect(Math.abs(spread / step.var - 1)).toBeLessThan(1e-5);
		});
	});
	it('takeIn refuses a noise that is not above zero (sd-not-positive)', () => {
		expect(takeIn(priorEstimate([0], [1]), [1], 3, 0)).toMatchObject({
			problem: { code: 'sd-not-positive', found: 0 },
		});
	});
});
