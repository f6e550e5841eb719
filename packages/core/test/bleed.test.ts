import { describe, expect, it } from 'vitest';
import { type BleedBracket, type BleedRule, judgeBleed } from '../src/bleed/index.js';
import { okValue } from './published-vectors.js';
import { normalDraws } from './seeded.js';

/** Common practice: consumers raise a turbine temperature of 690 °C by 15 to 20 °C. */
const rule: BleedRule = {
	riseC: { least: 15, most: 20 },
	cPerTorquePct: 4,
	heldAtLeastS: 30,
	torqueWithinPct: 0.5,
	staysUpC: 6,
};
const part = (timeS: number, temperatureC: number, torquePct = 70) => ({
	timeS,
	heldS: 30,
	temperatureC,
	torquePct,
	temperatureSdC: 0.5,
});
const bracket = (before: number, on: number, after: number): BleedBracket => ({
	offBefore: part(0, before),
	on: part(60, on),
	offAfter: part(120, after),
});
const verdict = (before: number, on: number, after: number) =>
	okValue(judgeBleed(bracket(before, on, after), rule)).verdict;

describe('judgeBleed(bracket, rule)', () => {
	it('[BLD-1] takes drift out as a line between the two off parts (common practice: 690 °C, 15 to 20 °C)', () => {
		const judged = okValue(judgeBleed(bracket(690, 709.5, 694), rule));
		expect(judged.riseC).toBeCloseTo(17.5, 12);
		expect(judged.driftC).toBeCloseTo(4, 12);
		expect(judged.riseSdC).toBeCloseTo(Math.hypot(0.5, 0.25, 0.25), 12);
		expect([judged.verdict, judged.sure]).toEqual(['works', true]);
	});

	it('[BLD-1] corrects what is left of a torque difference by the type’s figure', () => {
		const uneven = { ...bracket(690, 709, 690), on: part(60, 709, 70.6) };
		// 0.6 % more torque is 2.4 °C of the rise.
		expect(okValue(judgeBleed(uneven, rule)).riseC).toBeCloseTo(16.6, 9);
	});

	it('[BLD-2] tells works, no rise, too much, stays up after off and falls apart', () => {
		expect(verdict(690, 707, 690)).toBe('works');
		expect(verdict(690, 692, 690)).toBe('no-rise');
		expect(verdict(690, 725, 690)).toBe('too-much');
		expect(verdict(690, 707, 706)).toBe('stays-up-after-off');
		expect(verdict(690, 673, 690)).toBe('falls');
	});

	it('[BLD-2] is not sure near the ends of the band', () => {
		expect(okValue(judgeBleed(bracket(690, 705.3, 690), rule)).sure).toBe(false);
		expect(okValue(judgeBleed(bracket(690, 707.5, 690), rule)).sure).toBe(true);
	});

	it('[BLD-2] holds the true rise in 95 of 100 seeded checks', () => {
		const draw = normalDraws(8);
		const count = 4000;
		let held = 0;
		for (let k = 0; k < count; k++) {
			const noisy = bracket(690 + 0.5 * draw(), 709 + 0.5 * draw(), 694 + 0.5 * draw());
			const [low, high] = okValue(judgeBleed(noisy, rule)).rise95C;
			if (low <= 17 && 17 <= high) held++;
		}
		// Three standard deviations of a share of 0.95 over 4000.
		expect(Math.abs(held / count - 0.95)).toBeLessThan(0.0104);
	});

	it('[BLD-3] refuses parts held too short, torque apart, and an order that is not off, on, off', () => {
		const good = bracket(690, 707, 690);
		expect(judgeBleed({ ...good, on: { ...good.on, heldS: 29 } }, rule)).toMatchObject({
			problem: { code: 'held-too-short', found: 29, needed: 30, path: '$.on.heldS' },
		});
		expect(judgeBleed({ ...good, on: part(60, 707, 71.1) }, rule)).toMatchObject({ problem: { code: 'torque-apart' } });
		expect(judgeBleed({ ...good, on: part(130, 707) }, rule)).toMatchObject({ problem: { code: 'out-of-order' } });
	});
});
