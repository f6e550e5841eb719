import { describe, expect, it } from 'vitest';
import {
	calmDay,
	judgeAttempt,
	LookAhead,
	leverAtPct,
	ouzel3,
	ouzel3Ramp,
	RampAttempt,
	type RampTask,
	rampTimes,
	seededDraw,
	stepS,
} from '../src/index.js';

const task = ouzel3Ramp(2);

function fly(leverPctAt: (timeS: number) => number, flown: RampTask = task, seed = 1) {
	const attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task: flown, draw: seededDraw(seed) });
	let warnedS: number | null = null;
	while (!attempt.isOver) {
		attempt.step(leverPctAt(attempt.timeS));
		if (attempt.isWarned) warnedS ??= attempt.timeS;
	}
	const trace = attempt.trace();
	return { trace, warnedS, judgement: judgeAttempt(trace, flown) };
}
const linear = (rampS: number) => (timeS: number) => 20 + 60 * Math.min(1, Math.max(0, (timeS - 0.3) / rampS));

describe('rampTimes(samples, fromPct, toPct)', () => {
	const sampled = (lever: (timeS: number) => number, rateHz = 50) =>
		Array.from({ length: 6 * rateHz }, (_, n) => ({ timeS: n / rateHz, value: lever(n / rateHz) }));

	it('[RHS-17] gives a straight ramp of 2 s its 2 s as equivalent time and 1.92 s as total (law: 96 % of the span)', () => {
		const times = rampTimes(sampled(linear(2)), 20, 80);
		// straight lines are interpolated without error; 1e-6 covers the doubles
		expect(times?.equivalentS).toBeCloseTo(2, 6);
		expect(times?.totalS).toBeCloseTo(1.92, 6);
	});

	it('[RHS-17] gives a minimum-jerk hand 0.633 and 0.731 of its duration (law: roots of 10x³ − 15x⁴ + 6x⁵)', () => {
		const move = { fromPct: 20, toPct: 80, startS: 0.5, durationS: 2, overshootShare: 0 };
		const times = rampTimes(
			sampled((timeS) => leverAtPct(move, timeS)),
			20,
			80,
		);
		// roots by bisection elsewhere: x(10 %) = 0.24666, x(2 %) = 0.13434; 0.004 s is the chord's error at 50 Hz
		expect(Math.abs((times?.equivalentS ?? 0) - (2 * (1 - 2 * rootOf(0.1))) / 0.8)).toBeLessThan(0.004);
		expect(Math.abs((times?.totalS ?? 0) - 2 * (1 - 2 * rootOf(0.02)))).toBeLessThan(0.004);
	});

	it('[RHS-18] tells nothing of a movement that did not get there, or that fewer than 10 samples saw', () => {
		expect(
			rampTimes(
				sampled((timeS) => Math.min(75, linear(2)(timeS))),
				20,
				80,
			),
		).toBeNull();
		expect(rampTimes(sampled(linear(2), 4), 20, 80)).toBeNull();
		expect(rampTimes([], 20, 80)).toBeNull();
	});
});

describe('new RampAttempt({type, conditions, task, draw})', () => {
	it('[RHS-19] rests through the count-in at the torque of its start, and counts 0 at "go"', () => {
		const { trace } = fly(linear(2));
		const { timeS, channels } = trace;
		// the first sample comes with the first step
		expect(timeS[0]).toBeCloseTo(-task.countInS + stepS, 9);
		const before = channels.torquePct.filter((value, at) => value !== null && (timeS[at] ?? 0) < 0) as number[];
		expect(Math.max(...before) - Math.min(...before)).toBeLessThan(1.5);
		expect(timeS.at(-1)).toBeGreaterThan(task.afterGoS - 0.03);
	});

	it('[RHS-20] answers the same lever with the same trace, and another seed with other scatter', () => {
		expect(fly(linear(2)).trace).toEqual(fly(linear(2)).trace);
		expect(fly(linear(2), task, 2).trace).not.toEqual(fly(linear(2)).trace);
	});

	it('[RHS-21] holds a lever off its travel at the stop', () => {
		const { trace } = fly(() => 140);
		expect(Math.max(...trace.channels.leverPct.map((value) => value ?? 0))).toBeLessThan(101);
	});

	it('[RHS-22] feels a condition from the next step on', () => {
		const [calm, worn] = [1, 2].map(
			() => new RampAttempt({ type: ouzel3, conditions: calmDay, task, draw: seededDraw(1) }),
		) as [RampAttempt, RampAttempt];
		worn.conditions = { ...calmDay, wear: 1 };
		for (let n = 0; n < 0.2 / stepS; n += 1) {
			calm.step(20);
			worn.step(20);
		}
		// 200 ms later the rotor turns slower than on the sound engine
		expect(worn.panel.torquePct ?? 100).toBeLessThan(calm.panel.torquePct ?? 0);
	});
});

describe('LookAhead(line, aheadS)', () => {
	it('[RHS-23] warns before the line by the time ahead, and never later than the crossing', () => {
		const { warnedS, trace } = fly(linear(1.2));
		const crossed = trace.channels.torquePct.findIndex((value) => (value ?? 0) > task.limits.torquePct);
		const crossedS = trace.timeS[crossed] ?? Number.NaN;
		expect(warnedS ?? Number.NaN).toBeLessThan(crossedS);
		expect(crossedS - (warnedS ?? Number.NaN)).toBeLessThan(1);
	});

	it('[RHS-23] stays silent on a quantity that rests or falls below its line', () => {
		const ahead = new LookAhead(100, 0.35);
		for (let n = 0; n < 100; n += 1) {
			ahead.hear(n / 50, 99 - n / 50);
			expect(ahead.isWarned).toBe(false);
		}
		ahead.hear(3, 100.1);
		expect(ahead.isWarned).toBe(true);
	});
});

describe('judgeAttempt(trace, task)', () => {
	it('[RHS-24] finds a straight two-second ramp inside, and says what lay outside of others', () => {
		expect(fly(linear(2)).judgement).toMatchObject({ isInside: true, faults: [] });
		expect(fly(linear(1)).judgement.faults).toEqual(expect.arrayContaining(['too-fast', 'torque']));
		expect(fly(linear(4)).judgement.faults).toEqual(['too-slow']);
		expect(fly((timeS) => (timeS > 6 ? 70 : linear(2)(timeS))).judgement.faults).toEqual(['lever-end']);
	});

	it('[RHS-18] is not inside when nothing could be timed', () => {
		expect(fly(() => 20).judgement).toMatchObject({ isInside: false, times: null });
	});
});

/** x where the minimum-jerk movement has gone this share of its way. */
function rootOf(share: number): number {
	let [low, high] = [0, 0.5];
	for (let n = 0; n < 60; n += 1) {
		const x = (low + high) / 2;
		if (x ** 3 * (10 - 15 * x + 6 * x * x) < share) low = x;
		else high = x;
	}
	return low;
}
