import { describe, expect, it } from 'vitest';
import { randomEffects } from '../src/balance/fleet/random-effects.js';
import { fleetPriors, type LearnedKind } from '../src/balance/index.js';

/** Cases and non-cases, vaccinated and not, of thirteen trials of BCG vaccine. */
const BCG = [
	[4, 119, 11, 128],
	[6, 300, 29, 274],
	[3, 228, 11, 209],
	[62, 13536, 248, 12619],
	[33, 5036, 47, 5761],
	[180, 1361, 372, 1079],
	[8, 2537, 10, 619],
	[505, 87886, 499, 87892],
	[29, 7470, 45, 7232],
	[17, 1699, 65, 1600],
	[186, 50448, 141, 27197],
	[5, 2493, 3, 2338],
	[27, 16886, 29, 17825],
] as const;

describe('randomEffects(estimates) gives mean and spread of a population', () => {
	// S-34; the counts and the results for the log of the risk ratio (mean −0.7141, its sd 0.1787, variance among trials
	// 0.3088) are from memory, and were recomputed from the counts with the formulas of the paper.
	it('agrees with the published analysis of the thirteen BCG trials', () => {
		const estimates = BCG.map(([a, b, c, d]) => ({
			mean: Math.log(a / (a + b) / (c / (c + d))),
			sd: Math.sqrt(1 / a - 1 / (a + b) + 1 / c - 1 / (c + d)),
		}));
		const found = randomEffects(estimates);
		// half of the last printed digit
		expect(Math.abs(found.mean - -0.7141)).toBeLessThan(5e-5);
		expect(Math.abs(found.meanSd - 0.1787)).toBeLessThan(5e-5);
		expect(Math.abs(found.amongSd ** 2 - 0.3088)).toBeLessThan(5e-5);
	});

	it('by hand: two estimates of sd 1 that differ by 4 have a variance of 7 among them', () => {
		// Q = 8, excess (8 − 1)/(2 − 1) = 7, weights 1/8 each
		expect(randomEffects([2, 6].map((mean) => ({ mean, sd: 1 })))).toEqual({
			mean: 4,
			meanSd: 2,
			amongSd: Math.sqrt(7),
		});
	});

	it('finds no spread where the estimates agree better than their own sds', () => {
		const found = randomEffects([0.9, 1, 1.1].map((mean) => ({ mean, sd: 0.5 })));
		expect(found.amongSd).toBe(0);
		expect(found.mean).toBeCloseTo(1, 12);
		expect(found.meanSd).toBeCloseTo(0.5 / Math.sqrt(3), 12);
	});
});

describe('fleetPriors(tails)', () => {
	const tail = (kind: string, gain: number, phaseErrorDeg: number, sd = 0.02): LearnedKind => ({
		kind,
		gain,
		gain95: [gain - 1.96 * sd, gain + 1.96 * sd],
		phaseErrorDeg,
		phaseError95: [phaseErrorDeg - 1.96, phaseErrorDeg + 1.96],
		words: '',
	});

	it('states the mean error of the tails, how far the next tail may be from it, and that a fleet said so', () => {
		const tails = [1.1, 1.2, 1.3, 1.4, 1.5].map((gain, i) => [tail('plate', gain, 10 + 4 * i)]);
		const fleet = fleetPriors(tails);
		if (!fleet.ok) throw new Error(fleet.problem.code);
		// equal sds: variance among = variance of the estimates (0.025 and 40) less their own (0.0004 and 1)
		const [prior] = fleet.value;
		expect(prior).toMatchObject({ kind: 'plate', source: 'fleet' });
		expect(prior!.gain).toBeCloseTo(1.3, 12);
		expect(prior!.phaseDeg).toBeCloseTo(18, 12);
		// next tail: among them and the error of the mean, a fifth of the variance of one estimate
		expect(prior!.commonGainSd).toBeCloseTo(Math.sqrt(0.0246 + 0.025 / 5), 12);
		expect(prior!.commonPhaseSdDeg).toBeCloseTo(Math.sqrt(39 + 40 / 5), 12);
	});

	it('takes phases on both sides of 180° as neighbours', () => {
		const fleet = fleetPriors([176, 178, 180, -178, -176].map((phase) => [tail('tab', 1, phase)]));
		if (!fleet.ok) throw new Error(fleet.problem.code);
		expect(Math.abs(fleet.value[0]!.phaseDeg!)).toBeCloseTo(180, 9);
		expect(fleet.value[0]!.commonPhaseSdDeg).toBeLessThan(5);
	});

	it('leaves a kind that fewer than five tails have to the table', () => {
		const tails = [1, 1.1, 1.2, 1.1, 1].map((gain, i) =>
			i < 4 ? [tail('plate', gain, 0), tail('tab', gain, 0)] : [tail('plate', gain, 0)],
		);
		const fleet = fleetPriors(tails);
		expect(fleet.ok && fleet.value.map(({ kind }) => kind)).toEqual(['plate']);
	});

	it('refuses too few tails: too-few-tails', () => {
		expect(fleetPriors([[tail('plate', 1, 0)]])).toEqual({
			ok: false,
			problem: { code: 'too-few-tails', found: 1, needed: 5, path: 'tails' },
		});
	});
});
