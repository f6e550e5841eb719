import { describe, expect, it } from 'vitest';
import { atLeast, atMost, chance, degrees, ipsDecimals, signedDegrees } from '../src/print/figures.js';
import { table } from '../src/print/table.js';

describe('figures for people', () => {
	it('atMost(value, decimals) never shows a bound lower than it is, atLeast never higher', () => {
		expect(atMost(0.171, 2)).toBe('0.18');
		expect(atMost(0.17, 2)).toBe('0.17');
		expect(atLeast(0.019, 2)).toBe('0.01');
		expect(atLeast(0.02, 2)).toBe('0.02');
		expect(atMost(0.1 + 0.2, 1)).toBe('0.3');
	});

	it('chance(value) never claims certainty', () => {
		expect([0, 0.004, 0.01, 0.555, 0.99, 0.9901, 1].map(chance)).toEqual([
			'under 1 %',
			'under 1 %',
			'1 %',
			'56 %',
			'99 %',
			'over 99 %',
			'over 99 %',
		]);
	});

	it('degrees(value) stays within 0° and 359°', () => {
		expect([0, -0.4, 359.6, 225.2, -90].map(degrees)).toEqual(['0°', '0°', '0°', '225°', '270°']);
		expect([-12.4, 0, 5].map(signedDegrees)).toEqual(['−12°', '+0°', '+5°']);
	});

	it('ipsDecimals(limit) leaves two figures of the smallest limit', () => {
		expect([0.2, 0.1, 0.05, 0.004].map(ipsDecimals)).toEqual([2, 2, 3, 4]);
	});

	it('table(rows, right) aligns columns and leaves no blanks at the end', () => {
		expect(
			table(
				[
					['a', '1', ''],
					['long', '23', 'x'],
				],
				[1],
			),
		).toBe('  a      1\n  long  23  x');
	});
});
