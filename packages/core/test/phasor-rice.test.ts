import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chiSquareUpper, riceCdf, riceFromMoments, riceMean, riceQuantile } from '../src/phasor/index.js';

describe('riceCdf(x, noncentrality, sd)', () => {
	// scipy.stats.rice.cdf; basis: reference library (SciPy), printed to 15 digits
	it.each([
		[0.1, 0, 0.1, 0.3934693402873665],
		[0.1, 0.05, 0.02, 0.9908534768850193],
		[0.2, 0.1, 0.03, 0.999378103783539],
		[1, 1, 1, 0.2671201962031797],
		[3, 1, 1, 0.9562840284213643],
		[0.5, 5, 1, 8.712740185868593e-7],
		[8, 5, 1, 0.9982574484090612],
		[0.001, 0.3, 0.1, 5.554984292637674e-7],
		[0.9, 0.3, 0.1, 0.9999999982682507],
	])('of %d about %d with sd %d is %d [SciPy; basis: reference library]', (x, noncentrality, sd, expected) => {
		// 12 digits relative: both sides sum the same series in double precision
		expect(Math.abs(riceCdf(x, noncentrality, sd) / expected - 1)).toBeLessThan(1e-11);
	});

	it.each([
		[100.5, 100, 1, 0.6897043076824462],
		[400, 401, 1, 0.15835335623057628],
		[5000, 5001, 1, 0.15863106048781214],
	])(
		'of %d about %d, far from zero, keeps six digits [SciPy; basis: reference library]',
		(x, noncentrality, sd, expected) => {
			expect(Math.abs(riceCdf(x, noncentrality, sd) - expected)).toBeLessThan(1e-6);
		},
	);

	it('is Rayleigh without a mean: 1 − exp(−x²/2sd²) [closed form]', () => {
		for (const x of [0.01, 0.5, 2]) expect(riceCdf(x, 0, 0.7)).toBeCloseTo(1 - Math.exp((-x * x) / (2 * 0.49)), 14);
	});

	it('with sd 0 is a step at the mean, and 0 for x ≤ 0', () => {
		expect(riceCdf(0.2, 0.2, 0)).toBe(1);
		expect(riceCdf(0.19, 0.2, 0)).toBe(0);
		expect(riceCdf(0, 0.2, 0.1)).toBe(0);
		expect(riceCdf(-1, 0.2, 0.1)).toBe(0);
	});

	it('never falls with x and stays within 0 and 1', () => {
		fc.assert(
			fc.property(
				fc.double({ min: 0, max: 3, noNaN: true }),
				fc.double({ min: 0, max: 1, noNaN: true }),
				fc.double({ min: 0, max: 3, noNaN: true }),
				fc.double({ min: 1e-3, max: 2, noNaN: true }),
				(x, more, noncentrality, sd) => {
					const here = riceCdf(x, noncentrality, sd);
					expect(here).toBeGreaterThanOrEqual(0);
					expect(riceCdf(x + more, noncentrality, sd)).toBeGreaterThanOrEqual(here - 1e-6);
					expect(here).toBeLessThanOrEqual(1);
				},
			),
			{ seed: 7, numRuns: 500 },
		);
	});
});

describe('riceQuantile(probability, noncentrality, sd)', () => {
	it('agrees with SciPy at the upper end [SciPy rice.ppf; basis: reference library]', () => {
		expect(riceQuantile(0.975, 0.1, 0.03)).toBeCloseTo(0.162327643861786, 10);
	});

	it('turns riceCdf back', () => {
		fc.assert(
			fc.property(
				fc.double({ min: 0.01, max: 0.99, noNaN: true }),
				fc.double({ min: 0, max: 1, noNaN: true }),
				fc.double({ min: 0.005, max: 0.5, noNaN: true }),
				(probability, noncentrality, sd) => {
					expect(riceCdf(riceQuantile(probability, noncentrality, sd), noncentrality, sd)).toBeCloseTo(probability, 5);
				},
			),
			{ seed: 11, numRuns: 200 },
		);
	});
});

describe('riceMean(noncentrality, sd)', () => {
	it('agrees with SciPy and with √(π/2) without a mean [SciPy rice.mean; basis: reference library]', () => {
		expect(riceMean(1, 1)).toBeCloseTo(1.548572460551146, 12);
		expect(riceMean(30, 1)).toBeCloseTo(30.016671304039285, 10);
		expect(riceMean(0, 2)).toBeCloseTo(2 * Math.sqrt(Math.PI / 2), 8);
		expect(riceMean(0.3, 0)).toBe(0.3);
	});
});

describe('riceFromMoments(meanSquare, varianceOfSquare)', () => {
	it('gives back the circular distribution whose moments it was given', () => {
		const [noncentrality, sd] = [0.4, 0.15];
		const meanSquare = noncentrality ** 2 + 2 * sd ** 2;
		const found = riceFromMoments(meanSquare, 4 * sd ** 4 + 4 * noncentrality ** 2 * sd ** 2);
		expect(found.noncentrality).toBeCloseTo(noncentrality, 12);
		expect(found.sd).toBeCloseTo(sd, 12);
	});

	it('of a spread wider than Rayleigh keeps the mean square', () => {
		expect(riceFromMoments(2, 9)).toEqual({ noncentrality: 0, sd: 1 });
	});
});

describe('chiSquareUpper(degrees, probability)', () => {
	// NIST/SEMATECH e-Handbook 1.3.6.7.4, upper critical values; basis: published, from memory
	it.each([
		[2, 0.05, 5.991],
		[10, 0.05, 18.307],
		[24, 0.001, 51.179],
	])(
		'of %d degrees at %d is %d within 1 in 100 [NIST e-Handbook; basis: from memory]',
		(degrees, probability, expected) => {
			expect(Math.abs(chiSquareUpper(degrees, probability) / expected - 1)).toBeLessThan(0.01);
		},
	);
});
