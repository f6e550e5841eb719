import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { correctionWithoutPhase, mirrorCandidates } from '../src/balance/shop/index.js';
import { add, fromPolar, magnitude, wrap180 } from '../src/phasor/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'balance/without-phase.json';
interface Expected {
	readonly T2sum: number;
	readonly Txy: number;
	readonly rho: number;
	readonly correction_deg: number;
	readonly correction_g_sum?: number;
	readonly correction_g_xy?: number;
	readonly correction_mass?: number;
}
const thirds = [0, 120, 240];
const trialsOf = (amplitudes: readonly number[]) =>
	amplitudes.map((amplitude, k) => ({ amplitude, angleDeg: thirds[k] ?? Number.NaN }));

describe('correctionWithoutPhase', () => {
	const shreve = vectorRow<
		{ readonly V0_mil: number; readonly V_trial_mil: readonly number[]; readonly trial_mass_g: number },
		Expected
	>(file, 'fr-shreve');
	it(
		shreve.says(
			'both estimates, the angle and the closure of real readings that do not meet in one point (1e-5 relative)',
		),
		() => {
			const { inputs, expected } = shreve;
			const solved = okValue(
				correctionWithoutPhase({
					beforeAmplitude: inputs.V0_mil,
					trials: trialsOf(inputs.V_trial_mil),
					trialAmount: inputs.trial_mass_g,
				}),
			);
			const near = (found: number, wanted: number | undefined) =>
				expect(Math.abs(found / (wanted ?? Number.NaN) - 1)).toBeLessThan(1e-5);
			near(solved.effectFromSquares ** 2, expected.T2sum);
			near(solved.effectFromVector, expected.Txy);
			near(solved.closureRatio, expected.rho);
			near(solved.amountFromSquares, expected.correction_g_sum);
			near(solved.amountFromVector, expected.correction_g_xy);
			near(solved.angleDeg, expected.correction_deg);
			expect(solved.closureResidual).toBeCloseTo(expected.T2sum - expected.Txy ** 2, 4);
		},
	);
	const exact = vectorRow<
		{ readonly V0: number; readonly V_trial: readonly number[]; readonly trial_mass: number },
		Expected
	>(file, 'fr-exact');
	it(exact.says('noise-free amplitudes give back the unbalance and close (1e-9)'), () => {
		const { inputs, expected } = exact;
		const solved = okValue(
			correctionWithoutPhase({
				beforeAmplitude: inputs.V0,
				trials: trialsOf(inputs.V_trial),
				trialAmount: inputs.trial_mass,
			}),
		);
		expect(solved.amountFromSquares).toBeCloseTo(expected.correction_mass ?? Number.NaN, 9);
		expect(solved.amountFromVector).toBeCloseTo(expected.correction_mass ?? Number.NaN, 9);
		expect(solved.angleDeg).toBeCloseTo(expected.correction_deg, 9);
		expect(solved.closureRatio).toBeCloseTo(expected.rho, 9);
		expect(solved.closureResidual).toBeCloseTo(0, 9);
	});
	it('finds any unbalance from three or more uneven positions (property, noise-free)', () => {
		const positions = fc.constantFrom([0, 120, 240], [10, 100, 235], [0, 90, 180, 270], [0, 72, 144, 216, 288]);
		const size = fc.double({ min: 0.5, max: 5, noNaN: true });
		const angle = fc.double({ min: 0, max: 360, noNaN: true });
		fc.assert(
			fc.property(positions, size, angle, size, (at, start, heavyDeg, effect) => {
				const trials = at.map((angleDeg) => ({
					angleDeg,
					amplitude: magnitude(add(fromPolar(start, heavyDeg), fromPolar(effect, angleDeg))),
				}));
				const solved = okValue(correctionWithoutPhase({ beforeAmplitude: start, trials, trialAmount: 3 }));
				expect(solved.amountFromVector / ((3 * start) / effect)).toBeCloseTo(1, 8);
				expect(solved.closureRatio).toBeCloseTo(1, 8);
				expect(wrap180(solved.angleDeg - heavyDeg - 180)).toBeCloseTo(0, 6);
			}),
		);
	});
	it('refuses: nothing to balance, too few positions, all on one line, contradicting and indifferent readings', () => {
		const ask = (beforeAmplitude: number, angles: readonly number[], amplitudes: readonly number[]) =>
			correctionWithoutPhase({
				beforeAmplitude,
				trials: angles.map((angleDeg, k) => ({ angleDeg, amplitude: amplitudes[k] ?? Number.NaN })),
				trialAmount: 1,
			});
		expect(ask(0, thirds, [1, 2, 3])).toMatchObject({ problem: { code: 'nothing-to-balance' } });
		expect(ask(1, [0, 120], [1, 2])).toMatchObject({ problem: { code: 'too-few-positions', found: 2, needed: 3 } });
		expect(ask(1, [0, 180, 0], [1, 2, 1])).toMatchObject({ problem: { code: 'too-few-positions' } });
		expect(ask(5, thirds, [1, 1, 1])).toMatchObject({ problem: { code: 'readings-contradict' } });
		expect(ask(5, thirds, [6, 6, 6])).toMatchObject({ problem: { code: 'trial-effect-too-small' } });
	});
});

describe('mirrorCandidates', () => {
	interface Inputs {
		readonly V0: number;
		readonly V_trial_0deg: number;
		readonly V_trial_180deg: number;
		readonly trial_mass: number;
	}
	interface Mirror {
		readonly t: number;
		readonly correction_ratio_O_over_t: number;
		readonly candidates_deg: readonly number[];
	}
	const row = vectorRow<Inputs, Mirror>(file, 'fr-two-trials-ambiguous');
	it(row.says('two opposite trials leave both mirror answers and a third position to ask for (1e-5)'), () => {
		const i = row.inputs;
		const solved = okValue(
			mirrorCandidates({
				beforeAmplitude: i.V0,
				firstAngleDeg: 0,
				firstAmplitude: i.V_trial_0deg,
				oppositeAmplitude: i.V_trial_180deg,
				trialAmount: i.trial_mass,
			}),
		);
		expect(solved.effect).toBeCloseTo(row.expected.t, 5);
		expect(solved.amount).toBeCloseTo(row.expected.correction_ratio_O_over_t, 5);
		expect(solved.candidatesDeg.map((deg) => Number(deg.toFixed(4)))).toEqual(row.expected.candidates_deg);
		expect(solved.thirdTrialDeg).toBe(90);
	});
	it('gives one answer when the unbalance lies on the line of the trials, and refuses what no effect explains', () => {
		const onLine = { beforeAmplitude: 2, firstAngleDeg: 30, firstAmplitude: 3, oppositeAmplitude: 1, trialAmount: 1 };
		expect(okValue(mirrorCandidates(onLine)).candidatesDeg).toEqual([210]);
		expect(mirrorCandidates({ ...onLine, firstAmplitude: 1 })).toMatchObject({
			problem: { code: 'readings-contradict' },
		});
		expect(mirrorCandidates({ ...onLine, firstAmplitude: 9 })).toMatchObject({
			problem: { code: 'readings-contradict' },
		});
		expect(mirrorCandidates({ ...onLine, beforeAmplitude: 0 })).toMatchObject({
			problem: { code: 'nothing-to-balance' },
		});
	});
});
