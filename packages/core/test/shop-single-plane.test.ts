import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
	type AngleSense,
	combineMasses,
	correctionWithoutPhase,
	mirrorCandidates,
	predictedReading,
	type ShopReading,
	singlePlaneFromTrial,
	splitBetweenTwo,
	twoPlaneCorrection,
} from '../src/balance/shop/index.js';
import { wrap180 } from '../src/phasor/index.js';
import { okValue, vectorRow } from './published-vectors.js';
import { normalDraws } from './seeded.js';

const file = 'balance/single-plane.json';
interface Reading {
	readonly deg: number;
	readonly amp_mm?: number;
	readonly amp_mil?: number;
}
interface Inputs {
	readonly V0: Reading;
	readonly V1: Reading;
	readonly trial: { readonly deg: number; readonly mass_g?: number; readonly mass_oz?: number };
}
interface Expected {
	readonly correction: { readonly amp: number; readonly deg: number };
	readonly printed?: { readonly mass_g: number };
	readonly H_mm_per_g?: { readonly amp: number; readonly deg: number };
}
const reading = (r: Reading): ShopReading => ({ amplitude: r.amp_mm ?? r.amp_mil ?? Number.NaN, phaseDeg: r.deg });
const solve = (i: Inputs, sense: AngleSense = 'same') =>
	singlePlaneFromTrial({
		before: reading(i.V0),
		withTrial: reading(i.V1),
		trial: { amount: i.trial.mass_g ?? i.trial.mass_oz ?? Number.NaN, angleDeg: i.trial.deg },
		sense,
	});

describe('singlePlaneFromTrial on published examples', () => {
	for (const id of ['sp-rao-flywheel-si', 'sp-rao-flywheel-us', 'sp-rao-grinding-us', 'sp-rao-2400']) {
		const row = vectorRow<Inputs, Expected>(file, id);
		it(row.says('gives the mass (1e-4 relative) and its angle (0.01°: four printed digits)'), () => {
			const { correction } = okValue(solve(row.inputs));
			expect(Math.abs(correction.amount / row.expected.correction.amp - 1)).toBeLessThan(1e-4);
			expect(Math.abs(wrap180(correction.angleDeg - row.expected.correction.deg))).toBeLessThan(0.01);
		});
	}
	const flywheel = vectorRow<Inputs, Expected>(file, 'sp-rao-flywheel-si');
	it(flywheel.says('agrees with the printed 47.5 g to 0.1 g, and with its influence to the last digit'), () => {
		const { correction, influence } = okValue(solve(flywheel.inputs));
		expect(Math.abs(correction.amount - (flywheel.expected.printed?.mass_g ?? Number.NaN))).toBeLessThan(0.1);
		expect(Math.abs(influence.amplitudePerUnit - (flywheel.expected.H_mm_per_g?.amp ?? Number.NaN))).toBeLessThan(1e-6);
		expect(Math.abs(influence.phaseDeg - (flywheel.expected.H_mm_per_g?.deg ?? Number.NaN))).toBeLessThan(0.01);
	});
	it(
		flywheel.says('does not reproduce the wrong solution in circulation (6.49 g at 18.67°), which leaves vibration'),
		() => {
			const { influence } = okValue(solve(flywheel.inputs));
			const wrong = predictedReading(reading(flywheel.inputs.V0), influence, { amount: 6.49, angleDeg: 18.67 }, 'same');
			expect(wrong.amplitude).toBeGreaterThan(0.1);
		},
	);
});

describe('singlePlaneFromTrial as a method', () => {
	const amplitude = fc.double({ min: 0.01, max: 2, noNaN: true });
	const angle = fc.double({ min: -720, max: 720, noNaN: true });
	const sense = fc.constantFrom<AngleSense>('same', 'opposite');

	it('cancels the vibration it was given, under either sense and with the trial on or off (property)', () => {
		fc.assert(
			fc.property(
				amplitude,
				angle,
				amplitude,
				angle,
				amplitude,
				angle,
				sense,
				fc.boolean(),
				(a, p, h, hp, m, at, s, stays) => {
					const before = { amplitude: a, phaseDeg: p };
					const truth = { amplitudePerUnit: h, phaseDeg: hp };
					const trial = { amount: m, angleDeg: at };
					const withTrial = predictedReading(before, truth, trial, s);
					const solved = singlePlaneFromTrial({ before, withTrial, trial, sense: s, trialStaysOn: stays });
					const { correction, influence } = okValue(solved);
					expect(influence.amplitudePerUnit / h).toBeCloseTo(1, 6);
					const left = predictedReading(stays ? withTrial : before, truth, correction, s);
					expect(left.amplitude).toBeLessThan(1e-7);
				},
			),
		);
	});
	it('gives another answer for the same figures under the other sense: trial angle minus instead of plus', () => {
		const figures: Inputs = {
			V0: { amp_mil: 6, deg: 50 },
			V1: { amp_mil: 4, deg: 120 },
			trial: { mass_g: 5, deg: 30 },
		};
		const same = okValue(solve(figures, 'same')).correction;
		const opposite = okValue(solve(figures, 'opposite')).correction;
		expect(opposite.amount).toBeCloseTo(same.amount, 12);
		expect(wrap180(same.angleDeg - 30 + (opposite.angleDeg - 30))).toBeCloseTo(0, 9);
		expect(Math.abs(wrap180(same.angleDeg - opposite.angleDeg))).toBeGreaterThan(10);
	});
	it('refuses a trial that changed nothing (trial-effect-too-small) and one that weighs nothing (no-trial-mass)', () => {
		const still = { amplitude: 0.3, phaseDeg: 10 };
		const trial = { amount: 5, angleDeg: 0 };
		expect(singlePlaneFromTrial({ before: still, withTrial: still, trial, sense: 'same' })).toMatchObject({
			problem: { code: 'trial-effect-too-small', found: 0 },
		});
		const hardly = { amplitude: 0.31, phaseDeg: 10 };
		expect(
			singlePlaneFromTrial({ before: still, withTrial: hardly, trial, sense: 'same', readingSd: 0.02 }),
		).toMatchObject({
			problem: { code: 'trial-effect-too-small', needed: 0.02 },
		});
		const nothing = { amount: 0, angleDeg: 0 };
		expect(singlePlaneFromTrial({ before: still, withTrial: hardly, trial: nothing, sense: 'same' })).toMatchObject({
			problem: { code: 'no-trial-mass' },
		});
	});
	it('cautions when the change is near the scatter and when the correction is over twice the trial', () => {
		const before = { amplitude: 0.5, phaseDeg: 0 };
		const withTrial = { amplitude: 0.45, phaseDeg: 0 };
		const trial = { amount: 1, angleDeg: 0 };
		const solved = okValue(singlePlaneFromTrial({ before, withTrial, trial, sense: 'same', readingSd: 0.02 }));
		expect(solved.cautions).toEqual(['far-beyond-the-trial', 'change-near-scatter']);
	});
	it('states the scatter of the correction as drawn readings show it (within 5 %, 20 000 seeded draws)', () => {
		const truth = { amplitudePerUnit: 0.02, phaseDeg: 35 };
		const trial = { amount: 20, angleDeg: 60 };
		const before = { amplitude: 0.4, phaseDeg: 100 };
		const withTrial = predictedReading(before, truth, trial, 'same');
		const readingSd = 0.004;
		const next = normalDraws(7);
		const jolt = (r: ShopReading): ShopReading => {
			const re = r.amplitude * Math.cos((r.phaseDeg * Math.PI) / 180) + readingSd * next();
			const im = r.amplitude * Math.sin((r.phaseDeg * Math.PI) / 180) + readingSd * next();
			return { amplitude: Math.hypot(re, im), phaseDeg: (Math.atan2(im, re) * 180) / Math.PI };
		};
		const exact = okValue(singlePlaneFromTrial({ before, withTrial, trial, sense: 'same', readingSd }));
		const goal = exact.correction;
		let squares = 0;
		const draws = 20000;
		for (let k = 0; k < draws; k++) {
			const c = okValue(
				singlePlaneFromTrial({ before: jolt(before), withTrial: jolt(withTrial), trial, sense: 'same' }),
			).correction;
			const apart = ((c.angleDeg - goal.angleDeg) * Math.PI) / 180;
			squares += c.amount ** 2 + goal.amount ** 2 - 2 * c.amount * goal.amount * Math.cos(apart);
		}
		const drawnSd = Math.sqrt(squares / (2 * draws));
		expect(Math.abs(drawnSd / (exact.correctionSd ?? Number.NaN) - 1)).toBeLessThan(0.05);
	});
});

describe('what only a programmer can hand in', () => {
	it('a number that is not finite throws, it never becomes an answer', () => {
		const good = { amplitude: 1, phaseDeg: 0 };
		const bad = { amplitude: Number.NaN, phaseDeg: 0 };
		const mass = { amount: 1, angleDeg: 0 };
		const influence = {
			aLeft: { re: 1, im: 0 },
			aRight: { re: 0, im: 0 },
			bLeft: { re: 0, im: 0 },
			bRight: { re: 1, im: 0 },
		};
		const trials = [0, 120, 240].map((angleDeg) => ({ angleDeg, amplitude: Number.NaN }));
		const calls = [
			() => singlePlaneFromTrial({ before: bad, withTrial: good, trial: mass, sense: 'same' }),
			() => twoPlaneCorrection({ a: good, b: bad }, influence, 'same'),
			() => twoPlaneCorrection({ a: good, b: good }, { ...influence, aRight: { re: Number.NaN, im: 0 } }, 'same'),
			() => combineMasses([{ amount: Number.POSITIVE_INFINITY, angleDeg: 0 }]),
			() => splitBetweenTwo({ amount: 1, angleDeg: Number.NaN }, 0, 90),
			() => correctionWithoutPhase({ beforeAmplitude: 1, trials, trialAmount: 1 }),
			() =>
				mirrorCandidates({
					beforeAmplitude: 1,
					firstAngleDeg: 0,
					firstAmplitude: 2,
					oppositeAmplitude: 1,
					trialAmount: Number.NaN,
				}),
		];
		for (const call of calls) expect(call).toThrow(RangeError);
	});
});
