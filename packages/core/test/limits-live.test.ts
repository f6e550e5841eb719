import { describe, expect, it } from 'vitest';
import { type Limits, LiveLimits } from '../src/exceedance/index.js';
import { uniformDraws } from './seeded.js';

/** Invented lines. */
const limits: Limits = {
	parameters: [
		{
			id: 'x',
			lines: [
				{ id: 'fast', above: 92.7, maxSeconds: 0, when: { iasKt: { atLeast: 40 } }, reference: 'A' },
				{ id: 'all', above: 100, maxSeconds: 0, reference: 'B' },
			],
		},
	],
};
const one: Limits = { parameters: [{ id: 'x', lines: [{ id: 'all', above: 100, maxSeconds: 0, reference: 'B' }] }] };

const rates = [10, 20, 30, 40, 50, 60];
const ratesHz = [10, 20, 50];

interface Ramp {
	readonly valueAt: (timeS: number) => number;
	/** When 100 is passed; null if it ends short. */
	readonly crossS: number | null;
	readonly endS: number;
}

/** At a constant rate, over the last 0.6 s easing evenly to rest at `end`. */
function eased(rate: number, end: number): Ramp {
	const endS = 2;
	const valueAt = (t: number): number => {
		const left = Math.max(0, endS - t);
		return left < 0.6 ? end - (rate * left ** 2) / 1.2 : end - rate * 0.3 - rate * (left - 0.6);
	};
	const over = end - 100;
	const leftS = over <= rate * 0.3 ? Math.sqrt((Math.max(0, over) * 1.2) / rate) : 0.6 + (over - rate * 0.3) / rate;
	return { valueAt, crossS: over > 0 ? endS - leftS : null, endS };
}

function abrupt(rate: number, end: number): Ramp {
	const endS = 2;
	const valueAt = (t: number): number => end - rate * Math.max(0, endS - t);
	return { valueAt, crossS: end > 100 ? endS - (end - 100) / rate : null, endS };
}

/** When the warning came first; null if never. */
function warnedAt(ramp: Ramp, hz: number, offset: number): number | null {
	const live = new LiveLimits(one);
	for (let k = 0; (k + offset) / hz < ramp.endS + 0.5; k++) {
		const t = (k + offset) / hz;
		live.push('x', t, ramp.valueAt(t));
		if (live.at(t)[0]?.lines[0]?.soon) return t;
	}
	return null;
}

/** How long before the crossing (or the end) each ramp was warned of, in s; −∞ where it was not. */
function shares(
	shape: (rate: number, end: number) => Ramp,
	endOf: (draw: number, rate: number) => number,
	sampledHz: readonly number[] = ratesHz,
	ramps = 60,
): number[] {
	const draw = uniformDraws(41);
	const warned: number[] = [];
	for (const rate of rates) {
		for (const hz of sampledHz) {
			for (let k = 0; k < ramps; k++) {
				const ramp = shape(rate, endOf(draw(), rate));
				const atS = warnedAt(ramp, hz, draw());
				warned.push(atS === null ? Number.NEGATIVE_INFINITY : (ramp.crossS ?? ramp.endS) - atS);
			}
		}
	}
	return warned;
}

describe('LiveLimits', () => {
	it('[EXC-14] tells which lines hold now and the margin, nearest first', () => {
		const live = new LiveLimits(limits);
		live.push('x', 10, 90);
		live.push('iasKt', 10, 60);
		const told = () =>
			live.at(10.1)[0]?.lines.map(({ line, holds, margin }) => [line, holds, Math.round(margin * 10) / 10]);
		expect(told()).toEqual([
			['fast', 'surely', 2.7],
			['all', 'surely', 10],
		]);
		live.push('iasKt', 10.05, 30);
		expect(told()).toEqual([['all', 'surely', 10]]);
	});

	it('[EXC-14] a line whose condition nobody knows may hold', () => {
		const live = new LiveLimits(limits);
		live.push('x', 10, 90);
		expect(live.at(10)[0]?.lines[0]).toMatchObject({ line: 'fast', holds: 'maybe' });
	});

	it('[EXC-14] an old value goes blank with its age: 0.5 s, three periods, at most 1 s', () => {
		const freshAfter = (periodS: number, ageS: number): boolean => {
			const live = new LiveLimits(one);
			live.push('x', 0, 90);
			live.push('x', periodS, 90);
			return live.at(periodS + ageS)[0]?.fresh ?? false;
		};
		expect([freshAfter(0.1, 0.49), freshAfter(0.1, 0.51)]).toEqual([true, false]);
		expect([freshAfter(0.25, 0.74), freshAfter(0.25, 0.76)]).toEqual([true, false]);
		expect([freshAfter(0.9, 0.99), freshAfter(0.9, 1.01)]).toEqual([true, false]);
		const live = new LiveLimits(one);
		live.push('x', 0, 90);
		expect(live.at(3)).toEqual([{ parameter: 'x', fresh: false, ageS: 3, value: null, lines: [] }]);
	});

	it('[EXC-15] the look-ahead on ramps of 10 to 60 %/s at 10 to 50 Hz is never later than the crossing', () => {
		let compared = 0;
		for (const shape of [abrupt, eased]) {
			for (const rate of rates) {
				for (const hz of ratesHz) {
					const ramp = shape(rate, 104);
					const live = new LiveLimits(one);
					for (let t = 0.013; t < (ramp.crossS ?? 0); t += 1 / hz) {
						live.push('x', t, ramp.valueAt(t));
						const aheadS = live.at(t)[0]?.lines[0]?.lookAheadS;
						if (aheadS === null || aheadS === undefined) continue;
						compared++;
						// 1e-9: sums of binary fractions of a second.
						expect(t + aheadS).toBeLessThanOrEqual((ramp.crossS ?? 0) + 1e-9);
					}
				}
			}
		}
		expect(compared).toBeGreaterThan(1000);
	});

	it('[EXC-15] on ramps that ease over 0.6 s it warns 0.3 s before in 95 %, and falsely in 5 % of those 3 % short', () => {
		const crossing = shares(eased, (draw) => 100.1 + 12 * draw);
		const short = shares(eased, () => 97);
		expect(crossing.filter((beforeS) => beforeS >= 0.3).length / crossing.length).toBeGreaterThanOrEqual(0.95);
		expect(short.filter((beforeS) => beforeS > Number.NEGATIVE_INFINITY).length / short.length).toBeLessThanOrEqual(
			0.05,
		);
	});

	// 10 Hz by itself stays above the 5 % of all rates together; docs/methods/exceedance.md says what was tried.
	it.each([
		[50, 1, 0],
		[20, 1, 0.01],
		[10, 0.95, 0.14],
	])(
		'[EXC-15] at %i Hz by itself: 0.3 s before in %d of the eased ramps, falsely in at most %d',
		(hz, inTime, falsely) => {
			const crossing = shares(eased, (draw) => 100.1 + 12 * draw, [hz], 200);
			const short = shares(eased, () => 97, [hz], 200);
			const share = (list: readonly number[], atLeastS: number) =>
				list.filter((s) => s >= atLeastS).length / list.length;
			expect(share(crossing, 0.3)).toBeGreaterThanOrEqual(inTime);
			expect(share(short, Number.MIN_SAFE_INTEGER)).toBeLessThanOrEqual(falsely);
		},
	);

	it('[EXC-15] on abrupt ramps that end 0.4 s × rate + 3 % short it warns falsely in at most 5 %', () => {
		const short = shares(abrupt, (_, rate) => 100 - 0.4 * rate - 3);
		expect(short.filter((beforeS) => beforeS > Number.NEGATIVE_INFINITY).length / short.length).toBeLessThanOrEqual(
			0.05,
		);
		const crossing = shares(abrupt, () => 104);
		expect(crossing.filter((beforeS) => beforeS >= 0).length).toBe(crossing.length);
	});
});
