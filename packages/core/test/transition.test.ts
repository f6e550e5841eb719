import { describe, expect, it } from 'vitest';
import {
	declaredAttempt,
	declaredTime,
	judgeTime,
	respond,
	type Sample,
	summarise,
	type TransitionTarget,
	timeLiftOff,
	timeMovement,
	tracedAttempt,
} from '../src/transition/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'transition/movements.json';
const shapes: Readonly<Record<string, (x: number) => number>> = {
	'minimum-jerk': (x) => 10 * x ** 3 - 15 * x ** 4 + 6 * x ** 5,
	'half-cosine': (x) => (1 - Math.cos(Math.PI * x)) / 2,
	linear: (x) => x,
};

/** From one level to another in 2.00 s, one second of rest on either side. */
function movement(shape: (x: number) => number, hz: number, from = 20, to = 90, offsetS = 0): Sample[] {
	return Array.from({ length: 4 * hz + 1 }, (_, k) => {
		const timeS = k / hz + offsetS;
		const share = shape(Math.min(1, Math.max(0, (timeS - 1) / 2)));
		return { timeS, value: from + (to - from) * share };
	});
}

describe('timeMovement(samples, levels)', () => {
	const times = vectorRow<
		object,
		Readonly<Record<string, { readonly total_s: number; readonly equivalent_linear_s: number }>>
	>(file, 'movement-times');
	it(times.says('[TRN-1] both times of the three shapes, each within its range at 10 to 100 Hz'), () => {
		for (const [name, expected] of Object.entries(times.expected)) {
			const shape = shapes[name] as (x: number) => number;
			const fine = okValue(timeMovement(movement(shape, 100)));
			expect(Math.abs(fine.total.valueS - expected.total_s)).toBeLessThan(0.002);
			expect(Math.abs(fine.equivalentLinear.valueS - expected.equivalent_linear_s)).toBeLessThan(0.002);
			for (const hz of [10, 16, 25, 50, 100]) {
				for (const [from, to] of [
					[20, 90],
					[90, 20],
				] as const) {
					const found = okValue(timeMovement(movement(shape, hz, from, to, 0.003)));
					const range = (timed: { readonly rangeS: readonly [number, number] }, trueS: number): void => {
						expect(timed.rangeS[0]).toBeLessThanOrEqual(trueS + 1e-9);
						expect(timed.rangeS[1]).toBeGreaterThanOrEqual(trueS - 1e-9);
					};
					range(found.total, expected.total_s);
					range(found.equivalentLinear, expected.equivalent_linear_s);
				}
			}
		}
	});

	it('[TRN-1] the steepest rate carries the sense of the movement', () => {
		// 70 % in 2 s, straight.
		const linear = shapes.linear as (x: number) => number;
		expect(okValue(timeMovement(movement(linear, 50))).steepestPerSecond).toBeCloseTo(35, 9);
		expect(okValue(timeMovement(movement(linear, 50, 90, 20))).steepestPerSecond).toBeCloseTo(-35, 9);
	});

	it('[TRN-2] fewer than ten samples in the ramp cannot tell', () => {
		const linear = shapes.linear as (x: number) => number;
		const slow = timeMovement(movement(linear, 4));
		expect(slow.ok ? null : slow.problem).toEqual({ code: 'too-few-samples', found: 7, needed: 10 });
	});

	it.each([
		['clock-backwards', (s: Sample[]) => s.map((one, k) => (k === 20 ? { ...one, timeS: 0 } : one))],
		['duplicate-time', (s: Sample[]) => s.map((one, k) => (k === 20 ? { ...one, timeS: s[19]?.timeS ?? 0 } : one))],
		['not-a-number', (s: Sample[]) => s.map((one, k) => (k === 20 ? { ...one, value: Number.NaN } : one))],
		['no-movement', (s: Sample[]) => s.map((one) => ({ ...one, value: 50 }))],
	])('refuses with %s', (code, spoil) => {
		const result = timeMovement(spoil(movement(shapes.linear as (x: number) => number, 50)));
		expect(result.ok ? 'accepted' : result.problem.code).toBe(code);
	});

	it('a movement that never reaches the level stated is not timed', () => {
		const result = timeMovement(movement(shapes.linear as (x: number) => number, 50), { from: 20, to: 95 });
		expect(result.ok ? 'accepted' : result.problem.code).toBe('not-reached');
	});
});

describe('respond(samples, movement, settlingBand)', () => {
	/** Invented: 100 before, a dip to 96 at 3 s, a peak of 103 at 5 s, back to 99.5 at 6 s, then 101; a late peak at 9 s. */
	const corners: readonly (readonly [number, number])[] = [
		[0, 100],
		[2, 100],
		[3, 96],
		[5, 103],
		[6, 100.5],
		[7, 101],
		[8.6, 101],
		[9, 110],
		[12, 110],
	];
	const samples: Sample[] = Array.from({ length: 121 }, (_, k) => {
		const timeS = k / 10;
		const at = Math.max(
			1,
			corners.findIndex(([t]) => t >= timeS),
		);
		const [[t0, v0], [t1, v1]] = [corners[at - 1] as [number, number], corners[at] as [number, number]];
		return { timeS, value: v0 + ((v1 - v0) * (timeS - t0)) / (t1 - t0) };
	});

	it('[TRN-3] droop, overshoot, undershoot and settling, peaks searched until 5 s after the end', () => {
		const found = okValue(respond(samples, { beginS: 2, endS: 3.5 }, 1));
		expect(found.peak).toEqual({ timeS: 5, value: 103 });
		expect(found).toMatchObject({ before: 100, droop: 4, cutByTrace: false });
		// Final level 101: overshoot 103 − 101, fallen back to 100.5; within ± 1 from 5.4 s on (103 falls by 2.5 a second).
		expect(found.overshoot).toBeCloseTo(2, 9);
		expect(found.undershoot).toBeCloseTo(0.5, 9);
		expect(found.settlingS).toBeCloseTo(2.3 - 0.4, 9);
	});

	it('[TRN-3] says when the record ends before the search', () => {
		const short = samples.filter(({ timeS }) => timeS <= 6);
		expect(okValue(respond(short, { beginS: 2, endS: 3.5 })).cutByTrace).toBe(true);
	});
});

describe('verdicts of attempts', () => {
	const target: TransitionTarget = {
		time: 'equivalent-linear',
		signal: 'lever',
		atLeastS: 1.8,
		atMostS: 2.2,
		reference: 'invented',
	};

	const ramps = vectorRow<
		{ readonly ramps_s: readonly number[] },
		{ readonly ranges_s: readonly (readonly number[])[] }
	>(file, 'ramps-two-and-three-seconds');
	it(`[TRN-4] ${ramps.says('a duration timed by hand scatters by 0.2 s either way')}`, () => {
		for (const [at, durationS] of ramps.inputs.ramps_s.entries()) {
			const { rangeS } = declaredTime({ by: 'pilot', durationS });
			expect(rangeS[0]).toBeCloseTo(ramps.expected.ranges_s[at]?.[0] ?? 0, 9);
			expect(rangeS[1]).toBeCloseTo(ramps.expected.ranges_s[at]?.[1] ?? 0, 9);
		}
		expect(declaredAttempt('1', 'lever', { by: 'pilot', durationS: 2 }, target).verdict).toBe('inside');
		expect(declaredAttempt('2', 'lever', { by: 'pilot', durationS: 2.1 }, target).verdict).toBe('cannot-tell');
		expect(declaredAttempt('3', 'lever', { by: 'pilot', durationS: 3 }, target).verdict).toBe('outside');
	});

	it('[TRN-5] the whole range decides, without a target nothing is judged, and another signal is only shown', () => {
		const linear = okValue(timeMovement(movement(shapes.linear as (x: number) => number, 50)));
		expect(tracedAttempt('1', 'lever', linear, target)).toMatchObject({ verdict: 'inside', time: 'equivalent-linear' });
		expect(tracedAttempt('2', 'torque', linear, target).verdict).toBe('no-target');
		expect(tracedAttempt('3', 'lever', linear, null).verdict).toBe('no-target');
		expect(tracedAttempt('4', 'lever', null, target).verdict).toBe('cannot-tell');
		expect(judgeTime({ valueS: 1.8, rangeS: [1.75, 1.85] }, target)).toBe('cannot-tell');
	});

	it('[TRN-6] every attempt is counted', () => {
		const attempts = [2, 2.1, 3].map((durationS, k) =>
			declaredAttempt(`${k}`, 'lever', { by: 'pilot', durationS }, target),
		);
		expect(summarise(attempts)).toEqual({ count: 3, inside: 1, outside: 1, cannotTell: 1, spreadS: [2, 3] });
	});

	it('[TRN-7] lift-off runs from the first lever movement to weight-off or a mark, else it is declared', () => {
		const lever = movement(shapes.linear as (x: number) => number, 10, 0, 100);
		const weightOff = lever.map(({ timeS }) => ({ timeS, value: timeS >= 2.5 ? 1 : 0 }));
		const found = timeLiftOff(lever, 1, { weightOff });
		// Rest until 1.0 s, 5 % at 1.1 s; off between 2.4 and 2.5 s.
		expect(found?.start.rangeS).toEqual([1, 1.1]);
		expect(found?.duration.rangeS[0]).toBeCloseTo(1.3, 9);
		expect(found?.duration.rangeS[1]).toBeCloseTo(1.5, 9);
		expect(timeLiftOff(lever, 1, { markS: 2.5 })).toMatchObject({ endFrom: 'mark', end: { valueS: 2.5 } });
		expect(timeLiftOff(lever, 1, {})).toBeNull();
	});
});
