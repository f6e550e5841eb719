import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flightLoading, loadingAfter, loadingOf, placeIn } from '../src/mass/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const kgPerLb = 0.45359237;
const mPerIn = 0.0254;

/** Invented envelope with a step in its forward border. */
const envelope = [
	{ cgM: 2.7, massKg: 900 },
	{ cgM: 2.7, massKg: 1300 },
	{ cgM: 2.8, massKg: 1300 },
	{ cgM: 2.8, massKg: 1500 },
	{ cgM: 2.9, massKg: 1500 },
	{ cgM: 2.9, massKg: 900 },
] as const;

describe('loadingOf(items)', () => {
	interface Sheet {
		readonly items: readonly { readonly item: string; readonly weight_lb: number; readonly arm_in: number }[];
		readonly max_gross_lb: number;
		readonly cg_limits_in: readonly [number, number];
	}
	interface Expected {
		readonly moments: readonly number[];
		readonly total_weight_lb: number;
		readonly total_moment: number;
		readonly cg_in: number;
		readonly within_limits: boolean;
	}
	const sheet = vectorRow<Sheet, Expected>('air/mass.json', 'cg-rfh-longitudinal');
	it(`[AIR-7] ${sheet.says('total, moment and centre of gravity to 0.05 in, inside its limits')}`, () => {
		const items = sheet.inputs.items.map(({ item, weight_lb, arm_in }) => ({
			id: item,
			massKg: weight_lb * kgPerLb,
			armM: arm_in * mPerIn,
		}));
		const loading = okValue(loadingOf(items));
		expect(loading.massKg / kgPerLb).toBeCloseTo(sheet.expected.total_weight_lb, 9);
		expect(loading.momentKgM / kgPerLb / mPerIn).toBeCloseTo(sheet.expected.total_moment, 6);
		expect(Math.abs(loading.cgM / mPerIn - sheet.expected.cg_in)).toBeLessThanOrEqual(0.05);
		const [forward, aft] = sheet.inputs.cg_limits_in.map((arm) => arm * mPerIn) as [number, number];
		const most = sheet.inputs.max_gross_lb * kgPerLb;
		const box = [
			{ cgM: forward, massKg: 0 },
			{ cgM: forward, massKg: most },
			{ cgM: aft, massKg: most },
			{ cgM: aft, massKg: 0 },
		];
		expect(okValue(placeIn(box, loading)).side === 'inside').toBe(sheet.expected.within_limits);
	});

	interface Seesaw {
		readonly left: { readonly weight_lb: number; readonly arm_in: number };
		readonly right: { readonly weight_lb: number; readonly arm_in: number };
	}
	const seesaw = vectorRow<Seesaw, { cg_from_fulcrum_in: number }>('air/mass.json', 'cg-army-seesaw');
	it(`[AIR-7] ${seesaw.says('arms ahead of the datum are negative; the board balances')}`, () => {
		const { left, right } = seesaw.inputs;
		const loading = okValue(
			loadingOf([
				{ id: 'left', massKg: left.weight_lb, armM: -left.arm_in },
				{ id: 'right', massKg: right.weight_lb, armM: right.arm_in },
			]),
		);
		expect(loading.cgM).toBeCloseTo(seesaw.expected.cg_from_fulcrum_in, 12);
	});

	it('[AIR-7] moves by m/M of the shift, lateral too (published: m/M = d/D, TM 55-1500-342-23)', () => {
		fc.assert(
			fc.property(
				fc.double({ min: 1, max: 100, noNaN: true }),
				fc.double({ min: -3, max: 3, noNaN: true }),
				(massKg, shiftM) => {
					const empty = { id: 'empty', massKg: 1000, armM: 2.8 };
					const before = okValue(loadingOf([empty, { id: 'box', massKg, armM: 1, lateralArmM: 0 }]));
					const after = okValue(loadingOf([empty, { id: 'box', massKg, armM: 1 + shiftM, lateralArmM: shiftM }]));
					expect(after.cgM - before.cgM).toBeCloseTo((massKg / after.massKg) * shiftM, 10);
					expect(after.lateralCgM).toBeCloseTo((massKg / after.massKg) * shiftM, 10);
				},
			),
		);
	});

	it('[AIR-7] takes removed mass as negative and refuses what has no mass or is no number', () => {
		const seat = { id: 'seat removed', massKg: -12, armM: 1.5 };
		expect(okValue(loadingOf([{ id: 'empty', massKg: 1000, armM: 2.8 }, seat])).massKg).toBe(988);
		expect(loadingOf([seat])).toMatchObject({ ok: false, problem: { code: 'no-mass' } });
		expect(loadingOf([{ ...seat, armM: Number.NaN }])).toMatchObject({ ok: false, problem: { code: 'not-a-number' } });
	});
});

describe('loadingAfter(items, burn, elapsedH)', () => {
	const items = [
		{ id: 'empty', massKg: 1000, armM: 2.82 },
		{ id: 'fuel', massKg: 200, armM: 3 },
	];
	it('[AIR-8] takes the burned fuel off its own item (published: 140 lb/h off the take-off weight, R66 MM 18-16)', () => {
		const after = okValue(loadingAfter(items, { item: 'fuel', burnKgPerH: 140 * kgPerLb }, 0.5));
		expect(after.massKg).toBeCloseTo(1200 - 70 * kgPerLb, 9);
		expect(after.momentKgM).toBeCloseTo(2820 + 3 * (200 - 70 * kgPerLb), 9);
	});

	it('[AIR-8] says when the fuel would be gone, the item is none, or the time is none', () => {
		const burn = { item: 'fuel', burnKgPerH: 100 };
		expect(loadingAfter(items, burn, 2.1)).toMatchObject({ ok: false, problem: { code: 'fuel-runs-out', found: 210 } });
		expect(loadingAfter(items, { ...burn, item: 'tank' }, 1)).toMatchObject({ problem: { code: 'unknown-item' } });
		expect(loadingAfter(items, burn, -1)).toMatchObject({ problem: { code: 'out-of-range' } });
	});
});

describe('placeIn(envelope, loading), flightLoading(envelope, items, burn, flightH)', () => {
	const at = (cgM: number, massKg: number) =>
		okValue(placeIn(envelope, okValue(loadingOf([{ id: 'all', massKg, armM: cgM }])))).side;

	it('[AIR-9] takes every corner and border as inside and what is beyond as outside', () => {
		for (const { cgM, massKg } of envelope) expect(at(cgM, massKg)).toBe('inside');
		expect([at(2.7, 1100), at(2.75, 1300), at(2.8, 1400), at(2.85, 1500)]).toEqual(Array(4).fill('inside'));
		expect([at(2.699, 1100), at(2.75, 1301), at(2.901, 1200), at(2.85, 1501)]).toEqual(Array(4).fill('outside'));
	});

	it('[AIR-9] tells take-off and landing apart, and what lies between them', () => {
		const items = [
			{ id: 'empty', massKg: 1150, armM: 2.88 },
			{ id: 'fuel', massKg: 250, armM: 2.45 },
		];
		const burn = { item: 'fuel', burnKgPerH: 100 };
		const flight = okValue(flightLoading(envelope, items, burn, 2));
		expect([flight.takeOff.side, flight.landing.side, flight.side]).toEqual(['inside', 'inside', 'inside']);
		const aft = okValue(
			flightLoading(envelope, [{ id: 'empty', massKg: 1150, armM: 2.93 }, ...items.slice(1)], burn, 2.4),
		);
		expect([aft.takeOff.side, aft.landing.side, aft.side]).toEqual(['inside', 'outside', 'outside']);
	});

	it('[AIR-9] finds a passage outside between two ends that are inside', () => {
		const notched = [
			{ cgM: 2.7, massKg: 900 },
			{ cgM: 2.7, massKg: 1100 },
			{ cgM: 2.85, massKg: 1150 },
			{ cgM: 2.7, massKg: 1200 },
			{ cgM: 2.7, massKg: 1500 },
			{ cgM: 2.9, massKg: 1500 },
			{ cgM: 2.9, massKg: 900 },
		];
		const items = [
			{ id: 'empty', massKg: 1000, armM: 2.75 },
			{ id: 'fuel', massKg: 300, armM: 2.75 },
		];
		const flight = okValue(flightLoading(notched, items, { item: 'fuel', burnKgPerH: 100 }, 2.5));
		expect([flight.takeOff.side, flight.landing.side, flight.side]).toEqual(['inside', 'inside', 'outside']);
	});

	it('[AIR-9] refuses an envelope that encloses nothing', () => {
		const loading = okValue(loadingOf([{ id: 'all', massKg: 1000, armM: 2.8 }]));
		expect(placeIn(envelope.slice(0, 2), loading)).toMatchObject({ ok: false, problem: { code: 'bad-envelope' } });
	});
});
