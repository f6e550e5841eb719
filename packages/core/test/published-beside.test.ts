import { describe, expect, it } from 'vitest';
import {
	airAt,
	fahrenheitOf,
	hpaOfInHg,
	kelvinOf,
	mPerFt,
	pressureAltitudeFromQnhFt,
	ruleDensityAltitudeFt,
	standardAir,
	virtualTemperatureK,
} from '../src/air/index.js';
import { assessTrace } from '../src/exceedance/index.js';
import { leastSquares } from '../src/linear/index.js';
import { loadingOf } from '../src/mass/index.js';
import {
	chartValue,
	correctedTemperatureC,
	curveAt,
	type GridChart,
	judgeHold,
	mannKendall,
	theilSen,
	torqueRatio,
} from '../src/power/index.js';
import { okValue, vectorRow } from './published-vectors.js';

/** Figures that published rows print beside their main ones: nothing a source says stays unasked. */

interface Line {
	readonly b0: number;
	readonly b1: number;
	readonly sd_b0: number;
	readonly sd_b1: number;
	readonly residual_sd: number;
}
const regression = <I, E>(id: string) => vectorRow<I, E>('power/regression.json', id);
const relative = (found: number | undefined, expected: number): number =>
	Math.abs((found ?? Number.NaN) / expected - 1);
const line = (xs: readonly number[]) => xs.map((x) => [1, x]);

describe('leastSquares(design, measured) on calibration lines', () => {
	const norris = regression<{ x: number[]; y: number[] }, Line & { r_squared: number; F: number }>('nist-strd-norris');
	it(norris.says('both coefficients, their deviations, residual deviation, R squared and F to 1e-9'), () => {
		const { x, y } = norris.inputs;
		const fit = okValue(leastSquares(line(x), y));
		const mean = y.reduce((sum, one) => sum + one, 0) / y.length;
		const about = y.reduce((sum, one) => sum + (one - mean) ** 2, 0);
		const { b0, b1, sd_b0, sd_b1, residual_sd, r_squared, F } = norris.expected;
		expect(relative(fit.coefficients[0], b0)).toBeLessThan(1e-9);
		expect(relative(fit.coefficients[1], b1)).toBeLessThan(1e-10);
		expect(relative(fit.coefficientSds[0], sd_b0)).toBeLessThan(1e-9);
		expect(relative(fit.coefficientSds[1], sd_b1)).toBeLessThan(1e-9);
		expect(relative(fit.residualSd, residual_sd)).toBeLessThan(1e-9);
		expect(relative(1 - fit.weightedSquares / about, r_squared)).toBeLessThan(1e-12);
		expect(relative((about - fit.weightedSquares) / fit.residualSd ** 2, F)).toBeLessThan(1e-9);
	});

	const pressure = regression<
		{ temperature: number[]; pressure: number[] },
		Line & { fitted_first5: number[]; residual_first5: number[] }
	>('nist-pressure-fit');
	it(pressure.says('coefficients to 1e-6; fitted values and residuals to the printed 0.0025'), () => {
		const { temperature, pressure: measured } = pressure.inputs;
		const fit = okValue(leastSquares(line(temperature), measured));
		const { b0, b1, residual_sd, fitted_first5, residual_first5 } = pressure.expected;
		expect(relative(fit.coefficients[0], b0)).toBeLessThan(1e-6);
		expect(relative(fit.coefficients[1], b1)).toBeLessThan(1e-6);
		expect(relative(fit.residualSd, residual_sd)).toBeLessThan(1e-6);
		for (const [at, residual] of residual_first5.entries()) {
			expect(Math.abs((fit.residuals[at] ?? 0) - residual)).toBeLessThanOrEqual(0.0025);
			const fitted = (measured[at] ?? 0) - (fit.residuals[at] ?? 0);
			expect(Math.abs(fitted - (fitted_first5[at] ?? 0))).toBeLessThanOrEqual(0.0025);
		}
	});

	const width = regression<{ x: number[]; y: number[]; inverse_y: number[] }, Line & { inverse_x: number[] }>(
		'nist-linewidth-calibration',
	);
	it(width.says('coefficients and deviations to 1e-8; read backwards to the published places'), () => {
		const fit = okValue(leastSquares(line(width.inputs.x), width.inputs.y));
		const { b0, b1, sd_b0, sd_b1, residual_sd, inverse_x } = width.expected;
		expect(relative(fit.coefficients[0], b0)).toBeLessThan(1e-8);
		expect(relative(fit.coefficients[1], b1)).toBeLessThan(1e-8);
		expect(relative(fit.coefficientSds[0], sd_b0)).toBeLessThan(1e-7);
		expect(relative(fit.coefficientSds[1], sd_b1)).toBeLessThan(1e-7);
		expect(relative(fit.residualSd, residual_sd)).toBeLessThan(1e-7);
		const [intercept, slope] = fit.coefficients as [number, number];
		for (const [at, y] of width.inputs.inverse_y.entries()) {
			expect(relative((y - intercept) / slope, inverse_x[at] ?? 0)).toBeLessThan(1e-8);
		}
	});

	const loadCell = regression<
		{ load: number[]; response: number[] },
		{ c0: number; c1: number; c2: number; residual_sd_computed: number }
	>('nist-loadcell-quadratic');
	it(loadCell.says('all three coefficients of the parabola and its residual deviation to 1e-5'), () => {
		const { load, response } = loadCell.inputs;
		const fit = okValue(
			leastSquares(
				load.map((x) => [1, x, x * x]),
				response,
			),
		);
		const { c0, c1, c2, residual_sd_computed } = loadCell.expected;
		expect(relative(fit.coefficients[0], c0)).toBeLessThan(1e-5);
		expect(relative(fit.coefficients[1], c1)).toBeLessThan(1e-5);
		expect(relative(fit.coefficients[2], c2)).toBeLessThan(1e-5);
		expect(relative(fit.residualSd, residual_sd_computed)).toBeLessThan(1e-5);
	});
});

describe('mannKendall(ys), theilSen(xs, ys)', () => {
	const trend = <I, E>(id: string) => vectorRow<I, E>('power/trend.json', id);

	const cloud = trend<
		{ x: number[]; y: number[] },
		{ pairwise_slopes_sorted: number[]; C: number; C_bar: number; p_two_sided_exact: number }
	>('theil-hwc-9-1');
	it(`[PWR-10] ${cloud.says('the score, its mean over pairs, the exact chance, and the slope in the middle of all')}`, () => {
		const { x, y } = cloud.inputs;
		const test = mannKendall(y);
		expect(test.s).toBe(cloud.expected.C);
		expect(test.tau).toBeCloseTo(cloud.expected.C_bar, 12);
		expect(test.pExact).toBeCloseTo(cloud.expected.p_two_sided_exact, 9);
		const sorted = cloud.expected.pairwise_slopes_sorted;
		expect(theilSen(x, y).slope).toBeCloseTo(((sorted[4] ?? 0) + (sorted[5] ?? 0)) / 2, 9);
	});

	it('[PWR-10] the exact chance is left out with ties and in long series, and nears the normal one', () => {
		expect(mannKendall([1, 2, 2, 3]).pExact).toBeNull();
		expect(mannKendall(Array.from({ length: 31 }, (_, k) => k)).pExact).toBeNull();
		const middling = mannKendall(
			[3, 1, 2, 5, 4, 7, 6, 9, 8, 10, 12, 11, 13, 15, 14, 16, 18, 17, 20, 19].map((v, k) => v - 0.93 * k),
		);
		// Twenty values: the normal score's own error.
		expect(Math.abs((middling.pExact ?? Number.NaN) - middling.p)).toBeLessThan(0.005);
	});

	const outliers = trend<{ y: number[] }, { siegel: number; ols_slope: number }>('trend-outlier-resistance');
	it(`[PWR-10] ${outliers.says('repeated medians to 1e-9, and the least-squares slope that two outliers move')}`, () => {
		const { y } = outliers.inputs;
		const xs = y.map((_, at) => at);
		expect(theilSen(xs, y).repeatedMedians).toBeCloseTo(outliers.expected.siegel, 9);
		expect(okValue(leastSquares(line(xs), y)).coefficients[1]).toBeCloseTo(outliers.expected.ols_slope, 9);
	});

	const uneven = trend<
		{ x: number[]; y: number[] },
		{ intercept_conover: number; ols_slope: number; ols_intercept: number }
	>('theil-sen-epa-17-7');
	it(`[PWR-10] ${uneven.says('intercept of the medians and the least-squares line to 1e-9')}`, () => {
		const { x, y } = uneven.inputs;
		expect(theilSen(x, y).interceptOfMedians).toBeCloseTo(uneven.expected.intercept_conover, 9);
		const [intercept, slope] = okValue(leastSquares(line(x), y)).coefficients as [number, number];
		expect(slope).toBeCloseTo(uneven.expected.ols_slope, 9);
		expect(intercept).toBeCloseTo(uneven.expected.ols_intercept, 8);
	});
});

describe('judgeHold(trace, rule)', () => {
	const check = vectorRow<
		unknown,
		{
			PTIT_max_C: number;
			N1_max_percent: number;
			KIAS_max: number;
			torque_max_percent: number;
			rotor_percent: number;
			stabilise_min: [number, number];
			record: string[];
		}
	>('power/power-checks.json', 'pa-topping-check-limits-ch47');
	const { PTIT_max_C, N1_max_percent, KIAS_max, torque_max_percent, rotor_percent, stabilise_min, record } =
		check.expected;
	const quantities = ['N1', 'rotor rpm', 'FAT', 'PTIT', 'torque', 'pressure altitude'];
	const flown = {
		N1: 103,
		'rotor rpm': rotor_percent,
		FAT: 12,
		PTIT: 860,
		torque: 110,
		'pressure altitude': 3000,
		KIAS: 120,
	};
	const rule = (stabiliseS: number) => ({
		stabiliseS,
		recordS: 15,
		bands: [{ id: 'PTIT', spanAtMost: 10, slopePerMinuteAtMost: 5 }],
		record,
		limits: [
			{ id: 'PTIT', value: PTIT_max_C },
			{ id: 'N1', value: N1_max_percent },
			{ id: 'KIAS', value: KIAS_max },
			{ id: 'torque', value: torque_max_percent },
		],
		periodAtMostS: 2,
		conditions: [{ quantity: 'rotor held', equals: rotor_percent }],
	});
	const trace = (values: Readonly<Record<string, number>>, seconds = 240) => {
		const timesS = Array.from({ length: seconds + 1 }, (_, at) => at);
		const columns = Object.fromEntries(Object.entries(values).map(([id, value]) => [id, timesS.map(() => value)]));
		return { timesS, columns, confirmed: { 'rotor held': rotor_percent } };
	};

	it(`[PWR-7] [PWR-8] ${check.says('two to three minutes steady, six quantities from one window, each limit ends it')}`, () => {
		expect(record).toEqual(quantities);
		for (const minutes of stabilise_min) {
			const judged = okValue(judgeHold(trace(flown), rule(60 * minutes)));
			expect(judged.proved).toBe(true);
			for (const id of record) expect(judged.means[id]).toBeCloseTo(flown[id as keyof typeof flown], 9);
			expect(okValue(judgeHold(trace(flown, 60 * minutes), rule(60 * minutes))).because[0]?.code).toBe('too-short');
		}
		for (const { id, value } of rule(120).limits) {
			const judged = okValue(judgeHold(trace({ ...flown, [id]: value }), rule(120)));
			expect(judged.because[0]).toMatchObject({ code: 'limit-reached', id, found: value, needed: value });
			expect(judged.proved).toBe(false);
		}
		for (const id of record) {
			const { [id]: _, ...without } = flown as Readonly<Record<string, number>>;
			const found = judgeHold(trace(without), rule(120));
			expect(found).toMatchObject({ ok: false, problem: { code: 'missing-column', needed: id } });
		}
	});

	const ratio = vectorRow<
		{ ETF: number; specification_torque_percent: number },
		{ FAT_C: number; TR: number; max_torque_percent: number }[]
	>('power/power-checks.json', 'pa-torque-ratio-endpoints');
	it(`[PWR-15] ${ratio.says('ratio times specification torque is the most torque')}`, () => {
		for (const { FAT_C, TR, max_torque_percent } of ratio.expected) {
			const found = okValue(torqueRatio(ratio.inputs.ETF, FAT_C, { coldC: -15, warmC: 35 }));
			expect(found).toBeCloseTo(TR, 9);
			expect(found * ratio.inputs.specification_torque_percent).toBeCloseTo(max_torque_percent, 9);
		}
	});
});

describe('air, charts, mass and traces', () => {
	type Numbers = Readonly<Record<string, number>>;
	const air = <I, E>(id: string) => vectorRow<I, E>('air/altitude.json', id);

	const sample = air<Numbers, Numbers>('pa-phak-sample-1');
	it(`[AIR-3] ${sample.says('the table’s correction within 2 ft')}`, () => {
		const { elevation_ft = 0, altimeter_inHg = 0 } = sample.inputs;
		const found = okValue(pressureAltitudeFromQnhFt(elevation_ft, hpaOfInHg(altimeter_inHg)));
		expect(Math.abs(found - elevation_ft - (sample.expected.correction_ft ?? 0))).toBeLessThanOrEqual(2);
	});

	const deck = air<Numbers, Numbers>('da-comet-ship-example');
	const field = air<Numbers, Numbers>('da-120ft-rule-ae5000');
	it(`[AIR-1] ${deck.says('standard temperature at the deck to its printed tenth')}; and ${field.says('to its whole degree')}`, () => {
		const standardC = (altitudeFt: number): number =>
			okValue(standardAir(altitudeFt * mPerFt)).temperatureK - kelvinOf(0);
		expect(standardC(deck.inputs.elevation_ft ?? 0)).toBeCloseTo(deck.expected.ISA_temp_C ?? 0, 1);
		expect(Math.abs(standardC(field.inputs.elevation_ft ?? 0) - (field.expected.ISA_C ?? 0))).toBeLessThan(0.5);
		expect(ruleDensityAltitudeFt(0, 15)).toBe(0);
	});

	const humid = air<unknown, readonly Numbers[]>('da-nws-humid-1');
	it(`[AIR-4] ${humid.says('virtual temperature in degrees Rankine to 1e-5')}`, () => {
		for (const { T_C = 0, p_station_inHg = 0, Td_C = 0, Tv_R = 0 } of humid.expected) {
			const virtualK = virtualTemperatureK(T_C, Td_C, p_station_inHg * 33.8639);
			// The service's own zero of that scale.
			expect(fahrenheitOf(virtualK - kelvinOf(0)) + 459.69).toBeCloseTo(Tv_R, 5);
		}
	});

	const speeds = vectorRow<unknown, readonly (Numbers & { OAT_C: number | null })[]>(
		'air/airspeed.json',
		'tas-from-cas-compressible-1',
	);
	it(`[AIR-5] ${speeds.says('the incompressible figure is the calibrated airspeed over the root of the density ratio')}`, () => {
		for (const { CAS_kt = 0, PA_ft = 0, OAT_C, TAS_incompressible_kt = 0 } of speeds.expected) {
			const air = OAT_C === null ? okValue(standardAir(PA_ft * mPerFt)) : okValue(airAt(PA_ft, OAT_C));
			expect(relative(CAS_kt / Math.sqrt(air.sigma), TAS_incompressible_kt)).toBeLessThan(1e-7);
		}
	});

	const turbines = vectorRow<{ rows: Numbers[] }, readonly Numbers[]>(
		'power/corrected.json',
		'corr-turboshaft-static-rows',
	);
	it(`[PWR-14] ${turbines.says('corrected temperature in kelvin to 1e-7')}`, () => {
		for (const [at, { theta = 1, delta = 1, TGT_ref_K = 0 }] of turbines.expected.entries()) {
			const { TGT_C = 0 } = turbines.inputs.rows[at] ?? {};
			expect(relative(kelvinOf(correctedTemperatureC(TGT_C, { theta, delta })), TGT_ref_K)).toBeLessThan(1e-7);
		}
	});

	const table = vectorRow<
		{ rows: number[]; cols: number[]; values: number[][]; at: { row: number; col: number } },
		{ row20: number; row21: number; value: number }
	>('power/interpolation.json', 'bilinear-146');
	it(`[PWR-1] ${table.says('both printed rows and the value between')}`, () => {
		const { rows, cols, values, at } = table.inputs;
		const chart: GridChart = {
			kind: 'grid',
			result: { id: 'v', sense: 'max' },
			axes: [
				{ id: 'row', values: rows },
				{ id: 'col', values: cols },
			],
			values,
			interpolation: 'linear',
		};
		const value = (row: number): number => okValue(chartValue(chart, { row, col: at.col }));
		expect([value(20), value(21), value(at.row)]).toEqual([
			expect.closeTo(table.expected.row20, 9),
			expect.closeTo(table.expected.row21, 9),
			expect.closeTo(table.expected.value, 9),
		]);
	});

	const akima = vectorRow<{ x: number[]; y: number[] }, { flat_part_exact: number }>(
		'power/interpolation.json',
		'akima1970-pchip',
	);
	it(`[PWR-2] ${akima.says('exactly flat between equal points')}`, () => {
		const { x: knots, y: values } = akima.inputs;
		for (let x = 0; x <= 8; x += 0.25)
			expect(curveAt(knots, values, x, 'monotone-cubic')).toBe(akima.expected.flat_part_exact);
	});

	const seesaw = vectorRow<
		Readonly<Record<'left' | 'right', { weight_lb: number; arm_in: number }>>,
		{ moment_left: number; moment_right: number; balanced: boolean }
	>('air/mass.json', 'cg-army-seesaw');
	it(`[AIR-7] ${seesaw.says('both moments')}`, () => {
		const moment = (side: 'left' | 'right'): number => {
			const { weight_lb, arm_in } = seesaw.inputs[side];
			return okValue(loadingOf([{ id: side, massKg: weight_lb, armM: arm_in }])).momentKgM;
		};
		const { moment_left, moment_right, balanced } = seesaw.expected;
		expect([moment('left'), moment('right')]).toEqual([moment_left, moment_right]);
		expect(moment('left') === moment('right')).toBe(balanced);
	});

	const bump = vectorRow<
		{ t_s: number[]; v: number[]; threshold: number },
		{ t_up: number; t_down: number; samples_above: number; peak: number; t_peak: number }
	>('exceedance/limits.json', 'event-linear-crossing');
	it(`[EXC-1] ${bump.says('the straight crossings lie in the ranges told, and the sample seen is the peak')}`, () => {
		const { t_s, v, threshold } = bump.inputs;
		const limits = {
			parameters: [
				{ id: 'x', shortestS: 2, lines: [{ id: 'a', above: threshold, maxSeconds: 0, reference: 'invented' }] },
			],
		};
		const [episode] = okValue(
			assessTrace(
				limits,
				['x'],
				t_s.map((t, at) => [t, [v[at] ?? 0]] as const),
			),
		).episodes;
		const { t_up, t_down, samples_above, peak, t_peak } = bump.expected;
		expect(episode?.startS[0]).toBeLessThanOrEqual(t_up);
		expect(episode?.startS[1]).toBeGreaterThanOrEqual(t_up);
		expect(episode?.endS[0]).toBeLessThanOrEqual(t_down);
		expect(episode?.endS[1]).toBeGreaterThanOrEqual(t_down);
		expect(episode?.seen).toBe(peak);
		expect(v[t_s.indexOf(t_peak)]).toBe(peak);
		expect(v.filter((value) => value > threshold)).toHaveLength(samples_above);
	});
});
