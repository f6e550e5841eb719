import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type TrendPoint, trendOf } from '@stillmast/core/power';
import { describe, expect, it } from 'vitest';

const folder = join(import.meta.dirname, '..', '..', 'demo-scenarios', 'power-trend');
const json = (name: string): unknown => JSON.parse(readFileSync(join(folder, name), 'utf8'));
const { points } = json('scenario.json') as { readonly points: readonly TrendPoint[] };
const expected = json('expected.json') as {
	readonly truth: { readonly slopePerHour: number; readonly zeroAtEngineH: number };
	readonly proved: boolean;
	readonly fewerThanSix: string;
};

describe('demo-scenarios/power-trend', () => {
	it('finds the fall that was put in, and gives the hours to zero as a range that begins before the truth', () => {
		const trend = trendOf(points);
		if (!trend.ok) throw new Error(trend.problem.code);
		expect(trend.value.proved).toBe(expected.proved);
		const lastH = points.at(-1)?.engineH ?? 0;
		const leftH = expected.truth.zeroAtEngineH - lastH;
		expect(trend.value.hoursToZero?.earliest).toBeLessThan(leftH);
		// scatter of 1 °C over 113 h leaves the slope uncertain by about a tenth, and with it the hours
		expect(Math.abs((trend.value.hoursToZero?.likely ?? 0) / leftH - 1)).toBeLessThan(0.25);
	});

	it('gives no hours to zero from five checks', () => {
		const few = trendOf(points.slice(0, 5));
		expect(few.ok ? few.value.notShown : few.problem.code).toBe(expected.fewerThanSix);
	});
});
