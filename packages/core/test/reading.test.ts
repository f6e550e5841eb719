import { describe, expect, it } from 'vitest';
import { judgeReading, readingSdIps } from '../src/reading/index.js';

describe('judgeReading(amplitudeIps, sdIps, limitIps)', () => {
	it('[RDG-1] takes a number exactly on the limit as inside', () => {
		expect(judgeReading(0.2, 0.001, 0.2).side).toBe('near-inside');
		expect(judgeReading(0.2, 0, 0.2).side).toBe('inside');
	});

	it('[RDG-1] says close only when the 95 % range reaches over the limit', () => {
		expect(judgeReading(0.1, 0.02, 0.2).side).toBe('inside');
		expect(judgeReading(0.19, 0.02, 0.2).side).toBe('near-inside');
		expect(judgeReading(0.22, 0.02, 0.2).side).toBe('near-outside');
		expect(judgeReading(0.3, 0.02, 0.2).side).toBe('outside');
	});

	it('[RDG-2] gives the normal tail far from zero (common practice: Rice tends to the normal distribution)', () => {
		// amplitude 2.0, sd 0.02, limit 2.02: one standard deviation, upper tail 0.1587; ν shifts the mean by sd²/2ν
		const shift = 0.02 ** 2 / (2 * 2.0);
		expect(judgeReading(2.0 - shift, 0.02, 2.02).chanceTrueLevelAbove).toBeCloseTo(0.15866, 3);
	});

	it('[RDG-2] gives the Rayleigh tail at zero (published: exp(-x²/2sd²))', () => {
		expect(judgeReading(0, 0.05, 0.1).chanceTrueLevelAbove).toBeCloseTo(Math.exp(-2), 6);
	});

	it('[RDG-3] keeps the range in order and the chance between 0 and 1 over a grid', () => {
		for (const amplitude of [0, 0.01, 0.1, 0.2, 0.5, 2]) {
			for (const sd of [0.001, 0.02, 0.2]) {
				const judged = judgeReading(amplitude, sd, 0.2);
				expect(judged.low95Ips).toBeGreaterThanOrEqual(0);
				expect(judged.low95Ips).toBeLessThan(judged.high95Ips);
				expect(judged.chanceTrueLevelAbove).toBeGreaterThanOrEqual(0);
				expect(judged.chanceTrueLevelAbove).toBeLessThanOrEqual(1);
			}
		}
	});
});

describe('readingSdIps(amplitudeIps, noise, withinSdIps)', () => {
	it('[RDG-4] adds run-to-run, proportional and within-run scatter as variances', () => {
		expect(readingSdIps(0.5, { sdIps: 0.03, sdRelative: 0.08 }, 0.12)).toBeCloseTo(0.13, 12);
	});
});
