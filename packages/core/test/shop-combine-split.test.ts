import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { atRadius, balancingMass, combineMasses, splitBetweenTwo } from '../src/balance/shop/index.js';
import { wrap180 } from '../src/phasor/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'balance/combine-and-split.json';
interface Polar {
	readonly amp: number;
	readonly deg: number;
}

describe('combining masses, published examples', () => {
	interface Masses {
		readonly kg?: readonly number[];
		readonly mR_kgm?: readonly number[];
		readonly mm?: readonly number[];
		readonly m?: readonly number[];
		readonly deg_ccw: readonly number[];
		readonly balance_radius_mm?: number;
		readonly balance_radius_m?: number;
	}
	interface Expected {
		readonly balance: Polar;
		readonly printed?: { readonly kg: number; readonly deg: number };
		readonly recalled_print?: { readonly kg?: number; readonly kgm?: number; readonly deg: number };
	}
	for (const [id, mass, withinDeg] of [
		['cmb-sarkar-1', 0.05, 0.05],
		['cmb-khurmi-21-1', 0.2, 0.2],
		['cmb-norton-12-1', 0.001, 0.05],
	] as const) {
		const row = vectorRow<Masses, Expected>(file, id);
		it(
			row.says(`the one mass that balances (${mass} and ${withinDeg}° of the print, 1e-6 of the computed figure)`),
			() => {
				const i = row.inputs;
				const to = i.balance_radius_mm ?? i.balance_radius_m;
				const masses = (i.kg ?? i.mR_kgm ?? []).map((amount, k) => {
					const at = { amount, angleDeg: i.deg_ccw[k] ?? Number.NaN };
					const from = (i.mm ?? i.m)?.[k];
					return from === undefined || to === undefined ? at : atRadius(at, from, to);
				});
				const found = balancingMass(masses);
				expect(Math.abs(found.amount / row.expected.balance.amp - 1)).toBeLessThan(1e-6);
				expect(Math.abs(found.angleDeg - row.expected.balance.deg)).toBeLessThan(1e-3);
				const print = row.expected.printed ?? row.expected.recalled_print;
				if (!print) throw new Error('the row has no printed figure');
				const printedAmount = 'kgm' in print ? (print.kgm ?? Number.NaN) : (print.kg ?? Number.NaN);
				expect(Math.abs(found.amount - printedAmount)).toBeLessThan(mass);
				expect(Math.abs(found.angleDeg - print.deg)).toBeLessThan(withinDeg);
			},
		);
	}
	it('combineMasses of nothing, and of equal masses all round, is nothing (1e-12: double arithmetic)', () => {
		expect(combineMasses([])).toEqual({ amount: 0, angleDeg: 0 });
		expect(combineMasses([0, 72, 144, 216, 288].map((angleDeg) => ({ amount: 3, angleDeg }))).amount).toBeLessThan(
			1e-12,
		);
		expect(combineMasses([0, 180].map((angleDeg) => ({ amount: 3, angleDeg }))).amount).toBe(0);
	});
	it('atRadius keeps amount × radius and throws for a radius of zero', () => {
		expect(atRadius({ amount: 6, angleDeg: 5 }, 50, 100)).toEqual({ amount: 3, angleDeg: 5 });
		expect(() => atRadius({ amount: 6, angleDeg: 5 }, 50, 0)).toThrow(RangeError);
	});
});

describe('splitting between two allowed points', () => {
	interface Case {
		readonly W: number;
		readonly deg: number;
		readonly a: number;
		readonly b: number;
	}
	const two = vectorRow<
		{ readonly cases: readonly Case[] },
		{ readonly cases: readonly { readonly m_a: number; readonly m_b: number }[] }
	>(file, 'spl-two-angles');
	it(two.says('four splits: square, five arms, across 0/360, exactly on an arm (1e-6)'), () => {
		two.inputs.cases.forEach((c, k) => {
			const split = okValue(splitBetweenTwo({ amount: c.W, angleDeg: c.deg }, c.a, c.b));
			expect(split.first.amount).toBeCloseTo(two.expected.cases[k]?.m_a ?? Number.NaN, 6);
			expect(split.second.amount).toBeCloseTo(two.expected.cases[k]?.m_b ?? Number.NaN, 6);
		});
	});
	const not = vectorRow<{ readonly cases: readonly Case[] }, { readonly cases: readonly string[] }>(
		file,
		'spl-infeasible',
	);
	it(not.says('says that points in line have no answer, and that a target outside them would need removal'), () => {
		const [inLine, outside] = not.inputs.cases;
		if (!inLine || !outside) throw new Error('two cases expected');
		expect(splitBetweenTwo({ amount: inLine.W, angleDeg: inLine.deg }, inLine.a, inLine.b)).toMatchObject({
			problem: { code: 'points-in-line' },
		});
		const refused = splitBetweenTwo({ amount: outside.W, angleDeg: outside.deg }, outside.a, outside.b);
		expect(refused).toMatchObject({
			problem: {
				code: 'would-need-removal',
				found: { firstAmount: expect.closeTo(-5, 9), secondAmount: expect.closeTo(8.660254, 6) },
			},
		});
		expect(splitBetweenTwo({ amount: outside.W, angleDeg: outside.deg }, outside.a, outside.b, true)).toMatchObject({
			ok: true,
		});
	});
	it('the two parts add up to the target whenever a split is given (property)', () => {
		const angle = fc.double({ min: -360, max: 720, noNaN: true });
		fc.assert(
			fc.property(
				fc.double({ min: 0.1, max: 100, noNaN: true }),
				angle,
				angle,
				angle,
				fc.boolean(),
				(amount, to, a, b, remove) => {
					const split = splitBetweenTwo({ amount, angleDeg: to }, a, b, remove);
					if (!split.ok) {
						expect(['points-in-line', 'would-need-removal']).toContain(split.problem.code);
						return;
					}
					if (!remove) expect(Math.min(split.value.first.amount, split.value.second.amount)).toBeGreaterThanOrEqual(0);
					const sum = combineMasses([split.value.first, split.value.second]);
					expect(sum.amount / amount).toBeCloseTo(1, 6);
					expect(wrap180(sum.angleDeg - to)).toBeCloseTo(0, 4);
				},
			),
		);
	});
});
