import { describe, expect, it } from 'vitest';
import {
	corrected,
	correctedTemperatureC,
	correctionExponents,
	judgeBaseline,
	judgeHold,
	maintenanceStep,
	mannKendall,
	shaftPowerHp,
	theilSen,
	torqueRatio,
	trendOf,
} from '../src/power/index.js';
import { okValue, vectorRow } from './published-vectors.js';
import { normalDraws } from './seeded.js';

type Numbers = Readonly<Record<string, number>>;
const trendRow = <I, E>(id: string) => vectorRow<I, E>('power/trend.json', id);

describe('theilSen(xs, ys), mannKendall(ys)', () => {
	const cloud = trendRow<{ x: number[]; y: number[] }, Numbers>('theil-hwc-9-1');
	it(`[PWR-10] ${cloud.says('slope and both intercepts to 1e-9')}`, () => {
		const line = theilSen(cloud.inputs.x, cloud.inputs.y);
		expect(line.slope).toBeCloseTo(cloud.expected.slope ?? 0, 9);
		expect(line.intercept).toBeCloseTo(cloud.expected.intercept_median_residual ?? 0, 9);
		expect(line.interceptOfMedians).toBeCloseTo(cloud.expected.intercept_conover_scipy ?? 0, 9);
	});

	const uneven = trendRow<{ x: number[]; y: number[] }, Numbers & { ci95_sen: number[] }>('theil-sen-epa-17-7');
	it(`[PWR-10] ${uneven.says('slope, Sen interval, S and z to 1e-9')}`, () => {
		const line = theilSen(uneven.inputs.x, uneven.inputs.y);
		expect(line.slope).toBeCloseTo(uneven.expected.slope ?? 0, 9);
		expect(line.low95).toBeCloseTo(uneven.expected.ci95_sen[0] ?? 0, 9);
		expect(line.high95).toBeCloseTo(uneven.expected.ci95_sen[1] ?? 0, 9);
		const test = mannKendall(uneven.inputs.y);
		expect(test.s).toBe(uneven.expected.S);
		expect(test.z).toBeCloseTo(uneven.expected.z ?? 0, 9);
	});

	const outliers = trendRow<{ y: number[] }, Numbers & { ci95: number[] }>('trend-outlier-resistance');
	it(`[PWR-10] ${outliers.says('two outliers do not move it')}`, () => {
		const line = theilSen(
			outliers.inputs.y.map((_, at) => at),
			outliers.inputs.y,
		);
		expect(line.slope).toBeCloseTo(outliers.expected.theil_sen ?? 0, 9);
		expect(line.interceptOfMedians).toBeCloseTo(outliers.expected.theil_intercept ?? 0, 6);
		expect(line.low95).toBeCloseTo(outliers.expected.ci95[0] ?? 0, 9);
		expect(line.high95).toBeCloseTo(outliers.expected.ci95[1] ?? 0, 9);
	});

	const river = trendRow<{ y: number[] }, Numbers>('mk-maxau-discharge');
	it(`[PWR-10] ${river.says('S, variance, z, p and tau to the printed digits')}`, () => {
		const test = mannKendall(river.inputs.y);
		expect([test.s, test.variance]).toEqual([river.expected.S, river.expected.varS]);
		expect(Math.abs(test.z - (river.expected.z ?? 0))).toBeLessThanOrEqual(6e-5);
		expect(Math.abs(test.p - (river.expected.p_two_sided ?? 0))).toBeLessThanOrEqual(6e-5);
		expect(test.tau).toBeCloseTo(river.expected.tau ?? 0, 7);
	});
});

describe('trendOf(points), maintenanceStep(points, workH)', () => {
	const falling = (count: number, scatter = 0) => {
		const draw = normalDraws(3);
		return Array.from({ length: count }, (_, k) => ({ engineH: 100 + 50 * k, margin: 20 - k + scatter * draw() }));
	};

	it('[PWR-11] shows hours to zero with the earliest, but not under six points nor when the slope may be zero', () => {
		const seen = okValue(trendOf(falling(10)));
		expect(seen.hoursToZero?.likely).toBeCloseTo(550, 6);
		const noisy = okValue(trendOf(falling(12, 1)));
		expect(noisy.hoursToZero?.earliest).toBeLessThan(noisy.hoursToZero?.likely ?? 0);
		expect(okValue(trendOf(falling(5))).notShown).toBe('too-few-points');
		expect(okValue(trendOf(falling(8, 30))).notShown).toBe('slope-may-be-zero');
		expect(okValue(trendOf(falling(8).map((p) => ({ ...p, margin: 20 - p.margin })))).notShown).toBe('rising');
	});

	it('[PWR-10] refuses hours that do not rise and fewer than three points', () => {
		expect(trendOf([...falling(4), { engineH: 250, margin: 1 }])).toMatchObject({
			problem: { code: 'hours-not-ascending' },
		});
		expect(trendOf(falling(2))).toMatchObject({ problem: { code: 'too-few-points' } });
	});

	it('[PWR-12] finds what work on the engine gained, drift taken out', () => {
		const after = falling(16, 0.2).map((p) => (p.engineH > 450 ? { ...p, margin: p.margin + 8 } : p));
		const step = okValue(maintenanceStep(after, 460));
		expect(step.gain).toBeGreaterThan(7);
		expect(step.gain).toBeLessThan(9);
		expect(step.proved).toBe(true);
		expect(maintenanceStep(after.slice(0, 9), 460)).toMatchObject({ problem: { code: 'too-few-points', found: 1 } });
	});
});

describe('judgeHold(trace, rule)', () => {
	const facts = vectorRow<unknown, { PTIT_max_C: number; N1_max_percent: number; stabilise_min: [number, number] }>(
		'power/power-checks.json',
		'pa-topping-check-limits-ch47',
	);
	const rule = {
		stabiliseS: facts.expected.stabilise_min[0] * 60,
		recordS: 10,
		bands: [{ id: 'totC', spanAtMost: 6, slopePerMinuteAtMost: 2 }],
		record: ['torquePct'],
		limits: [{ id: 'totC', value: facts.expected.PTIT_max_C }],
		periodAtMostS: 2,
		conditions: [{ quantity: 'bleed', equals: 'off' }],
	};
	const trace = (totC: (t: number) => number, seconds = 200, bleed: string | null = 'off') => {
		const timesS = Array.from({ length: seconds + 1 }, (_, t) => t);
		const columns = { totC: timesS.map(totC), torquePct: timesS.map(() => 70) };
		return { timesS, columns, confirmed: bleed === null ? {} : { bleed } };
	};
	const codes = (judged: ReturnType<typeof judgeHold>) =>
		okValue(judged).because.map(({ code, id }) => `${code} ${id}`);

	it('[PWR-7] proves the first steady stretch and averages every quantity over its one window', () => {
		const judged = okValue(
			judgeHold(
				trace((t) => (t < 40 ? 600 + 5 * t : 800 + (t % 2))),
				rule,
			),
		);
		expect(judged.proved).toBe(true);
		expect(judged.window).toEqual({ fromS: 39, recordFromS: 159, toS: 169 });
		expect(judged.means.totC).toBeCloseTo(800.5, 0);
		expect(judged.means.torquePct).toBe(70);
	});

	it('[PWR-7] says per parameter why a hold is not steady', () => {
		expect(
			codes(
				judgeHold(
					trace((t) => 700 + 0.04 * t),
					rule,
				),
			),
		).toEqual(['slope totC']);
		expect(
			codes(
				judgeHold(
					trace((t) => 700 + (t % 20)),
					rule,
				),
			),
		).toContain('span totC');
		expect(
			codes(
				judgeHold(
					trace(() => 700, 60),
					rule,
				),
			),
		).toEqual(['too-short timeS']);
	});

	it(`[PWR-8] ${facts.says('a limit ends the hold; a condition that is missing or not met lets nothing count')}`, () => {
		expect(
			codes(
				judgeHold(
					trace((t) => (t === 100 ? 890 : 800)),
					rule,
				),
			),
		).toContain('limit-reached totC');
		expect(
			codes(
				judgeHold(
					trace(() => 800, 200, null),
					rule,
				),
			),
		).toEqual(['condition-missing bleed']);
		expect(
			codes(
				judgeHold(
					trace(() => 800, 200, 'on'),
					rule,
				),
			),
		).toEqual(['condition-not-met bleed']);
	});

	it('[PWR-8] refuses clocks that run backwards, times that stand twice and columns that are missing', () => {
		const good = trace(() => 800);
		const with2 = (time: number) => ({ ...good, timesS: good.timesS.map((t, at) => (at === 2 ? time : t)) });
		expect(judgeHold(with2(0.5), rule)).toMatchObject({ problem: { code: 'clock-backwards' } });
		expect(judgeHold(with2(1), rule)).toMatchObject({ problem: { code: 'duplicate-time' } });
		expect(judgeHold({ ...good, columns: {} }, rule)).toMatchObject({
			problem: { code: 'missing-column', needed: 'totC' },
		});
	});
});

describe('judgeBaseline, torqueRatio, corrected', () => {
	type Case = { recorded_C: number; baseline_C: number };
	const daily = vectorRow<{ cases: Case[] }, { delta_C: number; action: string }[]>(
		'power/power-checks.json',
		'pa-hit-thresholds',
	);
	it(`[PWR-13] ${daily.says('exact; a cold difference points at the indication')}`, () => {
		const words = { none: 'none', 'write-up': 'entry', stop: 'ground' };
		for (const [at, { recorded_C, baseline_C }] of daily.inputs.cases.entries()) {
			const judged = judgeBaseline(recorded_C, baseline_C, { writeUpC: 20, stopC: 30 });
			expect({ delta_C: judged.differenceC, action: words[judged.action] }).toEqual(daily.expected[at]);
			expect(judged.suspectIndication).toBe(recorded_C <= 680);
		}
	});

	const ratio = vectorRow<{ ETF: number }, { FAT_C: number; TR: number }[]>(
		'power/power-checks.json',
		'pa-torque-ratio-endpoints',
	);
	it(`[PWR-15] ${ratio.says('the ends by rule, the chart between')}`, () => {
		const ends = { coldC: -15, warmC: 35 };
		for (const { FAT_C, TR } of ratio.expected) expect(okValue(torqueRatio(ratio.inputs.ETF, FAT_C, ends))).toBe(TR);
		expect(torqueRatio(0.92, 10, ends)).toMatchObject({ problem: { code: 'read-the-chart' } });
	});

	const file = 'power/corrected.json';
	const flow = vectorRow<{ stations: Numbers[] }, Numbers[]>(file, 'corr-flow-jt9d-static');
	it(`[PWR-14] ${flow.says('19 stations within 0.06 lb/s')}`, () => {
		for (const [at, { W_lb_s = 0, Pt_psia = 0, Tt_R = 0 }] of flow.inputs.stations.entries()) {
			const found = corrected(W_lb_s, 'air-flow', { theta: Tt_R / 518.67, delta: Pt_psia / 14.696 });
			expect(Math.abs(found - (flow.expected[at]?.Wc_lb_s ?? Number.NaN))).toBeLessThanOrEqual(0.06);
		}
	});

	const speed = vectorRow<{ rows: (Numbers & { normalised: boolean })[] }, Numbers[]>(file, 'corr-speed-jt9d-static');
	it(`[PWR-14] ${speed.says('to 5e-5, whichever reference it is divided by')}`, () => {
		for (const [at, { N_rpm = 0, Tt_inlet_R = 0, normalised }] of speed.inputs.rows.entries()) {
			const theta = normalised ? Tt_inlet_R / 518.67 : Tt_inlet_R;
			expect(Math.abs(corrected(N_rpm, 'speed', { theta, delta: 1 }) / (speed.expected[at]?.Nc ?? 0) - 1)).toBeLessThan(
				5e-5,
			);
		}
	});

	const shaft = vectorRow<{ shafts: Numbers[] }, Numbers[]>(file, 'shaft-power-jt9d-static');
	it(`[PWR-14] ${shaft.says('to 3e-4')}`, () => {
		for (const [at, { N_rpm = 0, torque_lbft = 0 }] of shaft.inputs.shafts.entries()) {
			expect(Math.abs(shaftPowerHp(torque_lbft, N_rpm) / (shaft.expected[at]?.power_hp ?? 0) - 1)).toBeLessThan(3e-4);
		}
	});

	const table = vectorRow<unknown, Record<string, { a: number; b: number }>>(file, 'corr-exponents-table');
	it(`[PWR-14] ${table.says('exact')}`, () => {
		const names = {
			N: 'speed',
			T: 'temperature',
			P: 'pressure',
			W_air: 'air-flow',
			W_fuel: 'fuel-flow',
			power: 'power',
			torque: 'torque',
			thrust: 'thrust',
			TSFC: 'thrust-specific-fuel',
			SHP_specific_fuel_consumption: 'shaft-specific-fuel',
		} as const;
		for (const [name, kind] of Object.entries(names)) {
			const { a, b } = table.expected[name] ?? {};
			expect(correctionExponents[kind]).toEqual({ theta: a, delta: b });
		}
	});

	const turboshaft = vectorRow<{ rows: Numbers[] }, Numbers[]>(file, 'corr-turboshaft-static-rows');
	it(`[PWR-14] ${turboshaft.says('temperatures through kelvin, to 1e-7')}`, () => {
		for (const [at, { TGT_C = 0, SHP = 0, NG_percent = 0, torque_Nm = 0 }] of turboshaft.inputs.rows.entries()) {
			const { theta = 0, delta = 0, ...expected } = turboshaft.expected[at] ?? {};
			const ratios = { theta, delta };
			const near = (found: number, to = 0) => expect(Math.abs(found / to - 1)).toBeLessThan(1e-7);
			near(corrected(NG_percent, 'speed', ratios), expected.NG_ref_percent);
			near(correctedTemperatureC(TGT_C, ratios), expected.TGT_ref_C);
			near(corrected(SHP, 'power', ratios), expected.SHP_ref);
			near(corrected(torque_Nm, 'torque', ratios), expected.torque_ref_Nm);
		}
	});
});
