import { describe, expect, it } from 'vitest';
import { forecastOf, learnRotor, predict, type RotorProblem, type Run } from '../src/balance/index.js';
import { levelsAt } from '../src/balance/predict/level.js';
import { triangularise } from '../src/linear/index.js';
import { angleOfDeg, wrap180 } from '../src/phasor/index.js';
import { contractExample, levelsOf, solved, threeBlades } from './balance-examples.js';
import { vectorRow } from './published-vectors.js';

/** Unknowns of a least squares, absorbed all at once by the triangularisation that the learner uses. */
function batch(
	rows: readonly (readonly number[])[],
	values: readonly number[],
	size: number,
): { x: number[]; variance: number } {
	const count = rows.length;
	const block = new Float64Array(count * (size + 1));
	for (const [i, row] of rows.entries()) {
		for (let j = 0; j < size; j++) block[j * count + i] = row[j]!;
		block[size * count + i] = values[i]!;
	}
	triangularise(block, count, size + 1, size);
	const x = new Array<number>(size).fill(0);
	for (let i = size - 1; i >= 0; i--) {
		let sum = block[size * count + i]!;
		for (let j = i + 1; j < size; j++) sum -= block[j * count + i]! * x[j]!;
		x[i] = sum / block[i * count + i]!;
	}
	return { x, variance: 1 / block[(size - 1) * count + size - 1]! ** 2 };
}

describe('the learner’s square-root least squares', () => {
	const height = vectorRow<
		{ readonly x0: number; readonly P0: number; readonly R: number; readonly z: readonly number[] },
		{ readonly steps_K_x_P: readonly (readonly number[])[] }
	>('balance/estimation.json', 'kf-height');
	it(height.says('ten readings at once end where the recursion ends'), () => {
		const { x0, P0, R, z } = height.inputs;
		const rows = [[1 / Math.sqrt(P0)], ...z.map(() => [1 / Math.sqrt(R)])];
		const found = batch(rows, [x0 / Math.sqrt(P0), ...z.map((value) => value / Math.sqrt(R))], 1);
		const last = height.expected.steps_K_x_P.at(-1)!;
		// half of the last printed digit
		expect(Math.abs(found.x[0]! - last[1]!)).toBeLessThan(1e-5);
		expect(Math.abs(found.variance - last[2]!)).toBeLessThan(1e-5);
	});

	const norris = vectorRow<
		{ readonly data: string; readonly p0: readonly number[] },
		{ readonly certified: { readonly B0: number; readonly B1: number } }
	>('balance/estimation.json', 'rls-norris');
	const norrisData = vectorRow<{ readonly x: readonly number[]; readonly y: readonly number[] }, unknown>(
		'balance/nist-strd.json',
		'nist-norris',
	);
	it(norris.says('a prior of variance 1e8 costs no digits'), () => {
		const { x, y } = norrisData.inputs;
		const rows = [[1e-4, 0], [0, 1e-4], ...x.map((value) => [1, value])];
		const found = batch(rows, [0, 0, ...y], 2);
		// tolerances of the vector at p0 = 1e8
		expect(Math.abs(found.x[0]! - norris.expected.certified.B0)).toBeLessThan(1e-6);
		expect(Math.abs(found.x[1]! - norris.expected.certified.B1)).toBeLessThan(1e-8);
	});
});

describe('learnRotor(problem, runs)', () => {
	const complex = vectorRow<
		{
			readonly prior_H: { readonly amp: number; readonly deg: number };
			readonly prior_var: number;
			readonly reading_var: number;
			readonly moves: readonly {
				readonly W_g: { readonly amp: number; readonly deg: number };
				readonly dV_exact_cartesian: readonly [number, number];
			}[];
		},
		{ readonly final_H: { readonly amp: number; readonly deg: number } }
	>('balance/estimation.json', 'rls-complex-ic');
	it(complex.says('the common factor of four weight moves is the Kalman update’s coefficient'), () => {
		const { prior_H: prior, prior_var, reading_var, moves } = complex.inputs;
		const relative = Math.sqrt(prior_var / 2) / prior.amp;
		const problem: RotorProblem = {
			...contractExample,
			adjusters: moves.map(({ W_g }, n) => ({
				...contractExample.adjusters[0]!,
				id: `w${n}`,
				passAngleDeg: W_g.deg,
				max: 100,
			})),
			coefficients: [
				{
					channel: 'hover/lat',
					kind: 'plate',
					amplitudeIpsPerUnit: prior.amp,
					phaseDeg: prior.deg,
					sdRelative: relative,
				},
			],
			priors: [{ kind: 'plate', commonGainSd: relative, channelSd: 0, adjusterSd: 0, source: 'fleet' }],
			noise: { sdIps: 1e-7 },
			stock: {},
			runs: [
				{ id: 'r0', readings: { 'hover/lat': { amplitudeIps: 0, phaseDeg: 0 } } },
				...moves.map(
					({ W_g, dV_exact_cartesian: [re, im] }, n): Run => ({
						id: `r${n + 1}`,
						settings: { [`w${n}`]: W_g.amp },
						readings: {
							'hover/lat': {
								amplitudeIps: Math.hypot(re, im),
								phaseDeg: angleOfDeg({ re, im }),
								sdIps: Math.sqrt(reading_var / 2),
							},
						},
					}),
				),
			],
		};
		const { values } = learnRotor(problem).members[0]!.fit;
		const factor = { re: values.factor[0]!, im: values.factor[1]! };
		// the fault is known to 1e-7 here and exactly there: five digits of the coefficient
		expect(prior.amp * Math.hypot(factor.re, factor.im)).toBeCloseTo(complex.expected.final_H.amp, 6);
		expect(wrap180(angleOfDeg(factor) + prior.deg)).toBeCloseTo(complex.expected.final_H.deg, 2);
	});

	const first = threeBlades.runs![0]!;
	const wrong = (kind: string) => ({ gain: kind === 'plate' ? 0.7 : 1.2, phaseDeg: kind === 'plate' ? 35 : -20 });
	const moved = { 'plate-A': 3, 'plate-C': 4, 'tab-B': 1.5, 'tab-C': -1, 'link-B': 2, 'link-C': -1 };
	const second: Run = { id: 'r2', settings: moved, readings: levelsOf(threeBlades, first, moved, wrong) };

	it('one change of every kind teaches how this rotor answers', () => {
		const exact = { ...threeBlades, noise: { sdIps: 0.002 }, runs: [first, second] };
		for (const kind of solved(exact).learned) {
			const truth = wrong(kind.kind);
			// channel and adjuster parts stay free, so one change can't pin the common part better than this
			expect(Math.abs(kind.gain - truth.gain)).toBeLessThan(0.12);
			expect(Math.abs(kind.phaseErrorDeg - truth.phaseDeg)).toBeLessThan(8);
			expect(kind.gain95[0]).toBeLessThan(truth.gain);
			expect(kind.gain95[1]).toBeGreaterThan(truth.gain);
			expect(kind.phaseError95[0]).toBeLessThan(truth.phaseDeg);
			expect(kind.phaseError95[1]).toBeGreaterThan(truth.phaseDeg);
		}
	});

	it('evidence widens an error stated too small and narrows one stated too large', () => {
		const scaleOf = (stated: number): number => {
			const coefficients = threeBlades.coefficients.map((c) => ({ ...c, sdRelative: stated }));
			const posterior = learnRotor({ ...threeBlades, coefficients, noise: { sdIps: 0.005 }, runs: [first, second] });
			const { alongSd } = posterior.members[0]!.fit.prior;
			return alongSd[0]! / (stated * Math.sqrt(0.8));
		};
		expect(scaleOf(0.1)).toBeGreaterThan(1);
		expect(scaleOf(1.2)).toBeLessThan(1);
	});

	it('the order of two repeats doesn’t matter, and a repeat narrows the prediction', () => {
		const again: Run = {
			id: 'again',
			settings: moved,
			readings: levelsOf(threeBlades, first, { ...moved, 'tab-B': 1 }, wrong),
		};
		const spread = (runs: readonly Run[]) =>
			predict(forecastOf(learnRotor({ ...threeBlades, runs })), Float64Array.from([0, 0, 0, 0, 0, 0, 0]), 10, 1)
				.readings['speed/vert']!;
		const forward = spread([first, second, again]);
		const backward = spread([first, again, second]);
		// the search over error sizes starts elsewhere: four digits
		expect(backward.amplitudeIps).toBeCloseTo(forward.amplitudeIps, 4);
		expect(backward.sdIps).toBeCloseTo(forward.sdIps, 4);
		expect(forward.sdIps).toBeLessThan(spread([first]).sdIps);
	});

	it('[BAL-15] a reading without phase counts as amplitude only, and is named', () => {
		const readings = {
			...second.readings,
			'hover/lat': { amplitudeIps: second.readings['hover/lat']!.amplitudeIps, phaseDeg: null },
		};
		const answer = solved({ ...threeBlades, runs: [first, { ...second, readings }] });
		expect(answer.unused).toContainEqual({ path: "$.runs[1].readings['hover/lat']", code: 'no-phase' });
		const stay = answer.proposals.find((p) => p.touches === 0)!;
		const seen = second.readings['hover/lat']!.amplitudeIps;
		expect(stay.predicted['hover/lat']!.low95Ips).toBeLessThan(seen);
		expect(stay.predicted['hover/lat']!.high95Ips).toBeGreaterThan(seen);
	});

	it('[BAL-15] without any phase the direction stays open until different settings were flown', () => {
		const bare = (r: Run): Run => ({
			...r,
			readings: Object.fromEntries(
				Object.entries(r.readings).map(([id, { amplitudeIps }]) => [id, { amplitudeIps, phaseDeg: null }]),
			),
		});
		const start = contractExample.runs![0]!;
		const fly = (id: string, settings: Record<string, number>): Run =>
			bare({ id, settings, readings: levelsOf(contractExample, start, settings) });
		const one = solved({ ...contractExample, runs: [bare(start)] });
		const stay = one.proposals.find((p) => p.touches === 0)!.predicted['hover/lat']!;
		expect(stay.low95Ips).toBeLessThan(0.31);
		expect(stay.high95Ips).toBeGreaterThan(0.31);
		// whatever is changed, it may as well be the wrong way
		for (const p of one.proposals) expect(p.chanceAllWithinGoal).toBeLessThan(0.3);
		expect(one.trial).not.toBeNull();
		const runs = [bare(start), fly('a', { 'plate-A': 3 }), fly('b', { 'plate-B': 3 })];
		const known = solved({
			...contractExample,
			coefficients: contractExample.coefficients.map((c) => ({ ...c, sdRelative: 0.1 })),
			runs,
		});
		expect(known.trial).toBeNull();
		const chosen = known.proposals[known.recommended!]!;
		expect(levelsOf(contractExample, start, chosen.settings)['hover/lat']!.amplitudeIps).toBeLessThan(0.1);
	});

	it('[BAL-16] a run left out changes nothing but the list of what was left out', () => {
		const without = solved({ ...threeBlades, runs: [first] });
		const excluded = solved({ ...threeBlades, runs: [first, { ...second, use: false }] });
		expect(excluded.proposals).toEqual(without.proposals);
		expect(excluded.unused).toContainEqual({ path: '$.runs[1]', code: 'excluded' });
	});

	it('[BAL-17] work on a rotor part forgets the fault and keeps what is common at no less than its sd', () => {
		const third: Run = { ...first, id: 'r3', workSince: 'rotor-part' };
		const kept = solved({ ...threeBlades, runs: [first, second, third] }).learned.find((k) => k.kind === 'plate')!;
		const known = solved({ ...threeBlades, runs: [first, second] }).learned.find((k) => k.kind === 'plate')!;
		const fresh = solved({ ...threeBlades, runs: [first] }).learned.find((k) => k.kind === 'plate')!;
		const width = (k: typeof kept) => k.gain95[1] - k.gain95[0];
		expect(Math.abs(kept.gain - known.gain)).toBeLessThan(0.1);
		expect(width(kept)).toBeGreaterThan(1.3 * width(known));
		expect(width(kept)).toBeLessThan(width(fresh));
	});

	it('[BAL-18] a tab that does not hold what it was set to teaches less than one that does', () => {
		const tabs = { 'tab-B': 1, 'tab-C': -0.5 };
		const run: Run = { id: 'r2', settings: tabs, readings: levelsOf(threeBlades, first, tabs) };
		const width = (settingSd: number): number => {
			const adjusters = threeBlades.adjusters.map((a) => (a.kind === 'tab' ? { ...a, settingSd } : a));
			const tab = solved({ ...threeBlades, adjusters, noise: { sdIps: 0.004 }, runs: [first, run] }).learned.find(
				(k) => k.kind === 'tab',
			)!;
			return tab.gain95[1] - tab.gain95[0];
		};
		expect(width(0.5)).toBeGreaterThan(1.2 * width(0));
	});

	it('[BAL-18] a tab about to be bent widens the prediction by its setting error, one left alone does not', () => {
		const to = Float64Array.from(threeBlades.adjusters, ({ id }) => (id === 'tab-B' ? 1.5 : 0));
		const levels = (settingSd: number, settings: Float64Array) => {
			const adjusters = threeBlades.adjusters.map((a) => (a.kind === 'tab' ? { ...a, settingSd } : a));
			const { posterior, outlooks, parts } = forecastOf(learnRotor({ ...threeBlades, adjusters }));
			return levelsAt(posterior, outlooks, parts, settings);
		};
		const still = to.map(() => 0);
		const [loose, firm, before] = [levels(0.4, to), levels(0, to), levels(0, still)];
		for (const [n, { covariance, mean }] of loose.entries()) {
			// by hand: sd² times the product of what one degree does to the two readings
			const perDeg = mean.map((value, i) => (value - before[n]!.mean[i]!) / 1.5);
			const size = mean.length;
			for (let a = 0; a < size; a++)
				for (let b = 0; b < size; b++) {
					const added = covariance[a * size + b]! - firm[n]!.covariance[a * size + b]!;
					expect(added).toBeCloseTo(0.4 ** 2 * perDeg[a]! * perDeg[b]!, 12);
				}
		}
		expect(levels(0.4, still)).toEqual(before);
	});

	it('a fleet’s prior is not rescaled and moves the first answer', () => {
		const priors = [{ kind: 'plate', gain: 0.5, commonGainSd: 0.1, commonPhaseSdDeg: 8, source: 'fleet' as const }];
		const plate = solved({ ...contractExample, priors }).learned[0]!;
		expect(Math.abs(plate.gain - 0.5)).toBeLessThan(0.03);
		expect(plate.gain95[1] - plate.gain95[0]).toBeLessThan(0.45);
	});
});
