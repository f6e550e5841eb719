import { describe, expect, it } from 'vitest';
import {
	atRadius,
	type BearingPair,
	balanceKnownMasses,
	influenceOf,
	leastSquaresCorrection,
	type PlacedMass,
	type ShopMass,
	twoPlaneCorrection,
	twoPlaneInfluence,
} from '../src/balance/shop/index.js';
import { add, angleOfDeg, fromPolar, magnitude, multiply, scale, wrap180 } from '../src/phasor/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'balance/two-plane.json';
interface Polar {
	readonly amp: number;
	readonly deg: number;
}
interface Mil {
	readonly deg: number;
	readonly amp_mil?: number;
	readonly amp?: number;
	readonly amp_um?: number;
}
interface Trial {
	readonly oz: number;
	readonly deg: number;
	readonly A: Mil;
	readonly B: Mil;
}
interface TwoPlaneInputs {
	readonly V0: { readonly A: Mil; readonly B: Mil };
	readonly left_trial: Trial;
	readonly right_trial: Trial;
}
interface TwoPlaneExpected {
	readonly left_correction: Polar;
	readonly right_correction: Polar;
	readonly influence?: { readonly A_L: Polar; readonly A_R: Polar; readonly B_L: Polar; readonly B_R: Polar };
}
const reading = (m: Mil) => ({ amplitude: m.amp_mil ?? m.amp_um ?? m.amp ?? Number.NaN, phaseDeg: m.deg });
const pair = (p: { readonly A: Mil; readonly B: Mil }): BearingPair => ({ a: reading(p.A), b: reading(p.B) });
const trial = (t: Trial) => ({ mass: { amount: t.oz, angleDeg: t.deg }, readings: pair(t) });

function expectMass(found: ShopMass, wanted: Polar, relative: number, withinDeg: number) {
	expect(Math.abs(found.amount / wanted.amp - 1)).toBeLessThan(relative);
	expect(Math.abs(wrap180(found.angleDeg - wanted.deg))).toBeLessThan(withinDeg);
}

describe('two planes by trial masses, published examples', () => {
	for (const [id, relative, withinDeg] of [
		['tp-rao-9-2', 1e-5, 1e-3],
		['tp-rao-exercise', 1e-4, 1e-3],
	] as const) {
		const row = vectorRow<TwoPlaneInputs, TwoPlaneExpected>(file, id);
		it(
			row.says(`gives both masses (${relative} relative, ${withinDeg}°) and nothing remains at either bearing`),
			() => {
				const before = pair(row.inputs.V0);
				const influence = okValue(
					twoPlaneInfluence(before, trial(row.inputs.left_trial), trial(row.inputs.right_trial), 'same'),
				);
				const solved = okValue(twoPlaneCorrection(before, influence, 'same'));
				expectMass(solved.left, row.expected.left_correction, relative, withinDeg);
				expectMass(solved.right, row.expected.right_correction, relative, withinDeg);
				expect(solved.remaining.a.amplitude).toBeLessThan(1e-9);
				expect(solved.remaining.b.amplitude).toBeLessThan(1e-9);
			},
		);
	}
	const rao = vectorRow<TwoPlaneInputs, TwoPlaneExpected>(file, 'tp-rao-9-2');
	it(rao.says('gives the four influence coefficients (1e-5 relative: six printed digits)'), () => {
		const h = okValue(
			twoPlaneInfluence(pair(rao.inputs.V0), trial(rao.inputs.left_trial), trial(rao.inputs.right_trial), 'same'),
		);
		const wanted = rao.expected.influence;
		if (!wanted) throw new Error('the row has no influence block');
		for (const [found, polar] of [
			[h.aLeft, wanted.A_L],
			[h.aRight, wanted.A_R],
			[h.bLeft, wanted.B_L],
			[h.bRight, wanted.B_R],
		] as const) {
			expect(Math.abs(magnitude(found) / polar.amp - 1)).toBeLessThan(1e-5);
			expect(Math.abs(wrap180(angleOfDeg(found) - polar.deg))).toBeLessThan(1e-3);
		}
	});

	interface NptelInputs {
		readonly trial: { readonly kg: number; readonly deg: number };
		readonly change_end1: Mil;
		readonly change_end2: Mil;
		readonly V0: { readonly end1: Mil; readonly end2: Mil };
	}
	interface NptelExpected {
		readonly h11_um_per_kg: Polar;
		readonly h21_um_per_kg: Polar;
		readonly end1_correction: Polar;
		readonly end2_correction: Polar;
	}
	const nptel = vectorRow<NptelInputs, NptelExpected>(file, 'tp-nptel-13-5');
	it(
		nptel.says('one trial serves both planes of a symmetric rotor; masses and the angle between them (1e-4, 0.01°)'),
		() => {
			const still = { amplitude: 0, phaseDeg: 0 };
			const mass = { amount: nptel.inputs.trial.kg, angleDeg: nptel.inputs.trial.deg };
			const direct = influenceOf(still, reading(nptel.inputs.change_end1), mass, 'same');
			const cross = influenceOf(still, reading(nptel.inputs.change_end2), mass, 'same');
			if (!direct || !cross) throw new Error('the trial weighs nothing');
			expect(magnitude(direct)).toBeCloseTo(nptel.expected.h11_um_per_kg.amp, 5);
			expect(angleOfDeg(cross)).toBeCloseTo(nptel.expected.h21_um_per_kg.deg, 9);
			const before = { a: reading(nptel.inputs.V0.end1), b: reading(nptel.inputs.V0.end2) };
			const solved = okValue(
				twoPlaneCorrection(before, { aLeft: direct, bRight: direct, aRight: cross, bLeft: cross }, 'same'),
			);
			expect(Math.abs(solved.left.amount / nptel.expected.end1_correction.amp - 1)).toBeLessThan(1e-4);
			expect(Math.abs(solved.right.amount / nptel.expected.end2_correction.amp - 1)).toBeLessThan(1e-4);
			const between = nptel.expected.end2_correction.deg - nptel.expected.end1_correction.deg;
			expect(Math.abs(wrap180(solved.right.angleDeg - solved.left.angleDeg - between))).toBeLessThan(0.01);
		},
	);
});

describe('two planes for known masses, published examples', () => {
	interface FourMassInputs {
		readonly mass_kg: readonly number[];
		readonly radius_mm: readonly number[];
		readonly deg: readonly number[];
		readonly plane_mm_from_A: readonly number[];
		readonly X_mm: number;
		readonly Y_mm: number;
		readonly correction_radius_mm: number;
	}
	interface FourMassExpected {
		readonly X: { readonly kg: number; readonly deg_ccw: number };
		readonly Y: { readonly kg: number; readonly deg_ccw: number };
		readonly printed_graphical: { readonly Y_kg: number; readonly X_kg: readonly number[]; readonly Y_deg_cw: number };
	}
	const four = vectorRow<FourMassInputs, FourMassExpected>(file, 'tp-known-four-mass');
	it(
		four.says('planes X and Y to 1e-4 of the computed figures, 3 % and 2° of the printed drawing (clockwise there)'),
		() => {
			const i = four.inputs;
			const masses: PlacedMass[] = i.mass_kg.map((kg, k) => ({
				...atRadius(
					{ amount: kg, angleDeg: i.deg[k] ?? Number.NaN },
					i.radius_mm[k] ?? Number.NaN,
					i.correction_radius_mm,
				),
				positionMm: i.plane_mm_from_A[k] ?? Number.NaN,
			}));
			const { first, second } = okValue(balanceKnownMasses(masses, i.X_mm, i.Y_mm));
			expectMass(first, { amp: four.expected.X.kg, deg: four.expected.X.deg_ccw }, 1e-4, 1e-3);
			expectMass(second, { amp: four.expected.Y.kg, deg: four.expected.Y.deg_ccw }, 1e-4, 1e-3);
			const printed = four.expected.printed_graphical;
			expect(Math.abs(second.amount / printed.Y_kg - 1)).toBeLessThan(0.03);
			expect(Math.abs(wrap180(-second.angleDeg - printed.Y_deg_cw))).toBeLessThan(2);
			for (const kg of printed.X_kg) expect(Math.abs(first.amount / kg - 1)).toBeLessThan(0.03);
		},
	);

	interface BevanInputs {
		readonly unbalance: { readonly lb: number; readonly in: number };
		readonly balance_radius_in: number;
		readonly plane_spacing_in: number;
		readonly offset_in: number;
	}
	interface BevanExpected {
		readonly case_a_lb: { readonly Bm: number; readonly B1: number };
		readonly case_b_lb: { readonly Bm: number; readonly B1: number };
	}
	const bevan = vectorRow<BevanInputs, BevanExpected>(file, 'tp-bevan-ex1');
	it(
		bevan.says('lever split, unbalance outside and between the planes, exact masses and opposite directions outside'),
		() => {
			const i = bevan.inputs;
			const heavy = atRadius({ amount: i.unbalance.lb, angleDeg: 0 }, i.unbalance.in, i.balance_radius_in);
			const outside = okValue(balanceKnownMasses([{ ...heavy, positionMm: -i.offset_in }], 0, i.plane_spacing_in));
			expect(outside.first.amount).toBeCloseTo(bevan.expected.case_a_lb.B1, 9);
			expect(outside.second.amount).toBeCloseTo(bevan.expected.case_a_lb.Bm, 9);
			expect([outside.first.angleDeg, outside.second.angleDeg]).toEqual([180, 0]);
			const between = okValue(balanceKnownMasses([{ ...heavy, positionMm: i.offset_in }], 0, i.plane_spacing_in));
			expect(between.first.amount).toBeCloseTo(bevan.expected.case_b_lb.B1, 9);
			expect(between.second.amount).toBeCloseTo(bevan.expected.case_b_lb.Bm, 9);
		},
	);

	interface NortonInputs {
		readonly mR_kgm: readonly number[];
		readonly deg: readonly number[];
		readonly l_m: readonly number[];
		readonly lB_m: number;
	}
	const norton = vectorRow<NortonInputs, { readonly A: Polar; readonly B: Polar }>(file, 'tp-norton-12-2');
	it(norton.says('three lumped masses in two planes (1e-3 relative, 0.01°)'), () => {
		const i = norton.inputs;
		const masses = i.mR_kgm.map((mr, k) => ({
			amount: mr,
			angleDeg: i.deg[k] ?? Number.NaN,
			positionMm: (i.l_m[k] ?? Number.NaN) * 1000,
		}));
		const { first, second } = okValue(balanceKnownMasses(masses, 0, i.lB_m * 1000));
		expectMass(first, norton.expected.A, 1e-3, 0.01);
		expectMass(second, norton.expected.B, 1e-3, 0.01);
	});
});

describe('two and more planes as methods', () => {
	it('twoPlaneCorrection refuses planes that act alike (planes-alike) instead of a huge mass', () => {
		const h = fromPolar(0.1, 30);
		const k = fromPolar(0.05, 70);
		const alike = { aLeft: h, bLeft: k, aRight: scale(h, 2), bRight: scale(k, 2) };
		const before = { a: { amplitude: 1, phaseDeg: 0 }, b: { amplitude: 1, phaseDeg: 90 } };
		expect(twoPlaneCorrection(before, alike, 'same')).toMatchObject({ problem: { code: 'planes-alike' } });
		expect(balanceKnownMasses([], 5, 5)).toMatchObject({ problem: { code: 'planes-alike' } });
	});
	it('twoPlaneInfluence refuses a trial that weighs nothing (no-trial-mass) and says which', () => {
		const before = { a: { amplitude: 1, phaseDeg: 0 }, b: { amplitude: 1, phaseDeg: 90 } };
		const good = { mass: { amount: 1, angleDeg: 0 }, readings: before };
		const empty = { mass: { amount: 0, angleDeg: 0 }, readings: before };
		expect(twoPlaneInfluence(before, good, empty, 'same')).toMatchObject({
			problem: { code: 'no-trial-mass', path: '$.rightTrial.mass' },
		});
		expect(twoPlaneInfluence(before, empty, good, 'same')).toMatchObject({ problem: { path: '$.leftTrial.mass' } });
	});

	interface WlsInputs {
		readonly H_um_per_g: readonly (readonly Polar[])[];
		readonly V0_um: readonly Polar[];
		readonly w: readonly number[];
	}
	interface WlsExpected {
		readonly W1: Polar;
		readonly W2: Polar;
		readonly residual_um: readonly number[];
		readonly weighted_sse: number;
		readonly max_residual: number;
	}
	const wls = vectorRow<WlsInputs, WlsExpected>('balance/least-squares.json', 'ls-wls-8x2');
	it(wls.says('two planes, eight weighted readings: masses, what remains and its sum (1e-6 relative)'), () => {
		const influence = wls.inputs.H_um_per_g.map((row) => row.map((h) => fromPolar(h.amp, h.deg)));
		const before = wls.inputs.V0_um.map((v) => ({ amplitude: v.amp, phaseDeg: v.deg }));
		const solved = okValue(leastSquaresCorrection(before, influence, 'same', wls.inputs.w));
		const [first, second] = solved.corrections;
		if (!first || !second) throw new Error('two planes in, two masses out');
		expectMass(first, wls.expected.W1, 1e-6, 1e-4);
		expectMass(second, wls.expected.W2, 1e-6, 1e-4);
		solved.remaining.forEach((left, k) => {
			expect(Math.abs(left.amplitude / (wls.expected.residual_um[k] ?? Number.NaN) - 1)).toBeLessThan(1e-6);
		});
		expect(solved.worstRemaining).toBeCloseTo(wls.expected.max_residual, 5);
		expect(Math.abs(solved.weightedSquares / wls.expected.weighted_sse - 1)).toBeLessThan(1e-8);
		// optimality: Hᴴ·diag(w)·r = 0 for each plane
		for (const plane of [0, 1]) {
			const slope = solved.remaining.reduce(
				(sum, left, k) => {
					const h = influence[k]?.[plane] ?? { re: Number.NaN, im: 0 };
					const product = multiply({ re: h.re, im: -h.im }, fromPolar(left.amplitude, left.phaseDeg));
					return add(sum, scale(product, wls.inputs.w[k] ?? Number.NaN));
				},
				{ re: 0, im: 0 },
			);
			expect(magnitude(slope)).toBeLessThan(1e-10 * wls.expected.weighted_sse);
		}
	});
});
