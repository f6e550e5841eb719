import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
	type Chart,
	chartSheets,
	chartValue,
	curveAt,
	knotSlope,
	marginOf,
	marginsOf,
	normalCdf,
} from '../src/power/index.js';
import { okValue, vectorRow } from './published-vectors.js';
import { normalDraws, uniformDraws } from './seeded.js';

type Knots = { readonly x: readonly number[]; readonly y: readonly number[]; readonly xi: readonly number[] };
const row = <I, E>(id: string) => vectorRow<I, E>('power/interpolation.json', id);
const cubic = ({ x, y, xi }: Knots): number[] => xi.map((at) => curveAt(x, y, at, 'monotone-cubic'));

describe('curveAt(knots, values, x, interpolation)', () => {
	const nag = row<Knots, { yi: number[] }>('pchip-nag-e01be');
	it(`[PWR-2] ${nag.says('the four printed decimals')}`, () => {
		for (const [at, value] of cubic(nag.inputs).entries()) {
			expect(Math.abs(value - (nag.expected.yi[at] ?? Number.NaN))).toBeLessThanOrEqual(5e-5);
		}
	});

	const akima = row<Knots, { pchip: number[]; knot_slopes: number[] }>('akima1970-pchip');
	it(`[PWR-2] ${akima.says('values and slopes to 1e-10; flat stays flat')}`, () => {
		for (const [at, value] of cubic(akima.inputs).entries())
			expect(value).toBeCloseTo(akima.expected.pchip[at] ?? 0, 9);
		for (const [at, slope] of akima.expected.knot_slopes.entries()) {
			expect(knotSlope(akima.inputs.x, akima.inputs.y, at)).toBeCloseTo(slope, 9);
		}
	});

	const ends = row<Knots, { yi: number[]; end_slopes: [number, number] }>('pchip-end-slopes');
	it(`[PWR-2] ${ends.says('ends are not forced flat')}`, () => {
		const { x, y } = ends.inputs;
		for (const [at, value] of cubic(ends.inputs).entries()) expect(value).toBeCloseTo(ends.expected.yi[at] ?? 0, 8);
		expect(knotSlope(x, y, 0)).toBeCloseTo(ends.expected.end_slopes[0], 7);
		expect(knotSlope(x, y, 3)).toBeCloseTo(ends.expected.end_slopes[1], 7);
	});

	const small = row<Record<'a' | 'b' | 'c', Knots>, Record<'a' | 'b' | 'c', number[]>>('pchip-small-analytic');
	it(`[PWR-2] ${small.says('two points are a straight line, a step stays flat, exact')}`, () => {
		for (const id of ['a', 'b', 'c'] as const) {
			for (const [at, value] of cubic(small.inputs[id]).entries())
				expect(value).toBeCloseTo(small.expected[id][at] ?? 0, 12);
		}
	});

	it('[PWR-2] stays between its neighbours on seeded curves, and monotone where the points are', () => {
		const draw = uniformDraws(11);
		for (let trial = 0; trial < 200; trial++) {
			const knots = Array.from({ length: 8 }, () => 0.1 + draw()).map((_, at, steps) =>
				steps.slice(0, at + 1).reduce((a, b) => a + b, 0),
			);
			const values = Array.from({ length: 8 }, () => draw()).sort((a, b) => a - b);
			let before = Number.NEGATIVE_INFINITY;
			for (let k = 0; k <= 100; k++) {
				const x = (knots[0] ?? 0) + (((knots[7] ?? 0) - (knots[0] ?? 0)) * k) / 100;
				const value = curveAt(knots, values, Math.min(x, knots[7] ?? x), 'monotone-cubic');
				expect(value).toBeGreaterThanOrEqual(before - 1e-12);
				before = value;
			}
		}
	});
});

const result = { id: 'totLimitC', sense: 'max' } as const;
/** Invented: the contract's own example. */
const chart: Chart = {
	kind: 'grid',
	result,
	axes: [
		{ id: 'pressureAltitudeFt', values: [0, 2000, 4000] },
		{ id: 'oatC', values: [-20, 0, 20] },
	],
	values: [
		[680, 700, 720],
		[690, 710, 730],
		[700, 720, 740],
	],
	interpolation: 'linear',
};
const conditions = { pressureAltitudeFt: 1200, oatC: -5 };

describe('chartValue(chart, quantities)', () => {
	type Cell = { rows: number[]; cols: number[]; values: number[][]; at: { row: number; col: number } };
	const cell = row<Cell, { value: number }>('bilinear-146');
	it(`[PWR-1] ${cell.says('exact')}`, () => {
		const { rows, cols, values, at } = cell.inputs;
		const axes = [
			{ id: 'row', values: rows },
			{ id: 'col', values: cols },
		];
		expect(okValue(chartValue({ ...chart, axes, values }, at))).toBeCloseTo(cell.expected.value, 9);
	});

	type Torque = { OAT_C: number[]; PA_ft: number[]; torque_percent: number[][]; points: [number, number][] };
	const grid = row<Torque, { bilinear: number[]; pchip_tensor: number[] }>('chart-grid-bilinear-pchip');
	it(`[PWR-1] ${grid.says('bilinear and monotone cubic to 1e-10')}`, () => {
		const axes = [
			{ id: 'oatC', values: grid.inputs.OAT_C },
			{ id: 'altitudeFt', values: grid.inputs.PA_ft },
		];
		const two = { ...chart, axes, values: grid.inputs.torque_percent };
		for (const [at, [oatC, altitudeFt]] of grid.inputs.points.entries()) {
			const read = (interpolation: 'linear' | 'monotone-cubic') =>
				okValue(chartValue({ ...two, interpolation } as Chart, { oatC, altitudeFt }));
			expect(read('linear')).toBeCloseTo(grid.expected.bilinear[at] ?? 0, 9);
			expect(read('monotone-cubic')).toBeCloseTo(grid.expected.pchip_tensor[at] ?? 0, 8);
		}
	});

	it('[PWR-1] reads a chain as paper is read: along the curves, proportionally between them (invented curves)', () => {
		const chain: Chart = {
			kind: 'chain',
			result: { id: 'torquePct', sense: 'min' },
			stages: [
				{
					in: 'oatC',
					family: 'altitudeFt',
					out: 'guide',
					curves: [
						{
							family: 0,
							points: [
								[-20, 1],
								[20, 3],
							],
						},
						{
							family: 4000,
							points: [
								[-20, 2],
								[20, 6],
							],
						},
					],
				},
				{
					in: 'guide',
					family: 'totC',
					out: 'torquePct',
					curves: [
						{
							family: 600,
							points: [
								[0, 50],
								[10, 30],
							],
						},
						{
							family: 700,
							points: [
								[0, 90],
								[5, 80],
							],
						},
					],
				},
			],
		};
		// By hand: 2 and 4 at 0 °C, 2.5 at 1000 ft; 45 and 85 there, 65 at 650 °C.
		const entered = { oatC: 0, altitudeFt: 1000, totC: 650 };
		expect(okValue(chartValue(chain, entered))).toBeCloseTo(65, 12);
		expect(chartValue(chain, { oatC: 20, altitudeFt: 4000, totC: 650 })).toMatchObject({
			problem: { code: 'outside-chart', found: 6, needed: { axis: 'guide', atLeast: 0, atMost: 5 } },
		});
	});

	it('[PWR-3] tells nothing beyond the chart, and names the axis and its range', () => {
		expect(chartValue(chart, { ...conditions, oatC: 20.01 })).toMatchObject({
			ok: false,
			problem: { code: 'outside-chart', found: 20.01, needed: { axis: 'oatC', atLeast: -20, atMost: 20 } },
		});
		expect(chartValue(chart, { oatC: 0 })).toMatchObject({
			problem: { code: 'missing-condition', needed: 'pressureAltitudeFt' },
		});
	});
});

describe('chartSheets(chart)', () => {
	it('[PWR-16] draws a line for each family through every printed point', () => {
		const [sheet] = chartSheets(chart);
		expect(sheet).toMatchObject({ x: 'oatC', y: 'totLimitC', family: 'pressureAltitudeFt' });
		expect(sheet?.lines.map(({ family }) => family)).toEqual([0, 2000, 4000]);
		expect(sheet?.lines[1]?.points.filter(([at]) => at % 20 === 0)).toEqual([
			[-20, 690],
			[0, 710],
			[20, 730],
		]);
	});
});

describe('marginOf(chart, reading)', () => {
	const reading = { observed: 691, conditions, sd: { observed: 3, oatC: 1 } };

	it('[PWR-4] carries the scatter of every quantity through and names the largest', () => {
		const margin = okValue(marginOf(chart, reading));
		expect([margin.limit, margin.margin]).toEqual([701, 10]);
		expect(margin.marginSd).toBeCloseTo(Math.sqrt(10), 6);
		expect(margin.dominant).toBe('observed');
		expect(okValue(marginOf(chart, { ...reading, sd: { observed: 3, oatC: 5 } })).dominant).toBe('oatC');
	});

	it('[PWR-4] gives a chance that comes true: 20 000 seeded readings of engines with known margins', () => {
		const draw = normalDraws(5);
		const bins = Array.from({ length: 10 }, () => ({ said: 0, came: 0, count: 0 }));
		for (let k = 0; k < 20_000; k++) {
			// Flat prior over the true margin: the reading and the conditions scatter about the truth.
			const trueOatC = -5 + 4 * (k / 20_000);
			const trueMargin = -12 + 24 * ((k * 0.618034) % 1);
			const observed = 706 + trueOatC - trueMargin + 3 * draw();
			const oatC = trueOatC + draw();
			const { chancePositive } = okValue(
				marginOf(chart, { ...reading, observed, conditions: { ...conditions, oatC } }),
			);
			if (Math.abs(trueMargin) > 12) continue;
			const bin = bins[Math.min(9, Math.floor(chancePositive * 10))];
			if (bin === undefined) continue;
			bin.said += chancePositive;
			bin.came += trueMargin > 0 ? 1 : 0;
			bin.count++;
		}
		for (const { said, came, count } of bins) {
			// Three standard deviations of a share over each bin's count.
			const share = said / count;
			expect(Math.abs(came / count - share)).toBeLessThan(3 * Math.sqrt((share * (1 - share)) / count) + 0.005);
		}
	});

	it('[PWR-5] follows the number for the side and says too close where it is not sure', () => {
		const at = (observed: number, rule: 'at-most' | 'below' = 'at-most') => {
			const { side, verdict } = okValue(
				marginOf({ ...chart, result: { ...result, rule } } as Chart, { ...reading, observed }),
			);
			return `${side} ${verdict}`;
		};
		expect([at(691), at(699), at(701), at(703), at(712)]).toEqual([
			'inside meets',
			'inside too-close',
			'inside too-close',
			'outside too-close',
			'outside does-not-meet',
		]);
		expect(at(701, 'below')).toBe('outside too-close');
	});

	it('[PWR-6] tells each of several charts and lets the worst govern', () => {
		const other = { ...chart, result: { id: 'gasGeneratorPct', sense: 'max' } } as Chart;
		const both = {
			observed: { totLimitC: 691, gasGeneratorPct: 700 },
			conditions,
			sd: { totLimitC: 3, gasGeneratorPct: 3 },
		};
		const margins = okValue(marginsOf([chart, other], both));
		expect(margins.charts.map(({ verdict }) => verdict)).toEqual(['meets', 'too-close']);
		expect(margins.governing.result).toBe('gasGeneratorPct');
		expect(marginsOf([chart, other], reading)).toMatchObject({ problem: { code: 'observed-for-several' } });
	});

	it('[PWR-9] tells the margin in % torque by reading back along the torque axis, and a margin too good as suspect', () => {
		const byTorque = {
			...chart,
			result: { ...result, tooGoodMargin: 20 },
			axes: [{ id: 'torquePct', values: [60, 80, 100] }],
			values: [640, 680, 740],
		} as Chart;
		// By hand: the line passes 675 °C at 77.5 %, 5 °C below its value at 80 %.
		const read = (totC: number) =>
			okValue(marginOf(byTorque, { observed: { totLimitC: totC, torquePct: 80 }, conditions: {} }));
		const torque = read(675).torque;
		expect(torque.marginPct).toBeCloseTo(2.5, 9);
		expect(read(690).torque.marginPct).toBeCloseTo(-10 / 3, 9);
		expect([read(675).tooGood, read(655).tooGood]).toEqual([false, true]);
	});

	it('[PWR-4] has a normal distribution function of ten printed digits (published: Abramowitz & Stegun table 26.1)', () => {
		expect(normalCdf(1)).toBeCloseTo(0.841344746068543, 13);
		expect(normalCdf(-3)).toBeCloseTo(0.001349898031630095, 13);
		fc.assert(
			fc.property(
				fc.double({ min: -8, max: 8, noNaN: true }),
				(z) => Math.abs(normalCdf(z) + normalCdf(-z) - 1) < 1e-13,
			),
		);
	});
});
