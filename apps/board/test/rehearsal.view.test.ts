import { calmDay, judgeAttempt, ouzel3, ouzel3Ramp, RampAttempt, seededDraw } from '@stillmast/rehearsal';
import { describe, expect, it } from 'vitest';
import { leverAfter, onTravel, stickPush } from '../src/lib/rehearsal/lever.js';
import {
	bedAttempts,
	countWord,
	gasGeneratorWords,
	gaugeRows,
	type KeptAttempt,
	twoTimes,
	verdictRows,
	verdictSentence,
} from '../src/lib/rehearsal/rehearsal.view.js';

const task = ouzel3Ramp(2);

/** A straight ramp of so many seconds, flown on the model. */
function kept(number: number, rampS: number, toPct = 80): KeptAttempt {
	const attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task, draw: seededDraw(number) });
	while (!attempt.isOver) {
		attempt.step(20 + (toPct - 20) * Math.min(1, Math.max(0, (attempt.timeS - 0.3) / rampS)));
	}
	const trace = attempt.trace();
	const judgement = judgeAttempt(trace, task);
	return { number, isStalled: false, flown: { judgement, trace, task, fromTorquePct: 29.7, toTorquePct: 83.5 } };
}
const good = kept(1, 2);
const fast = kept(2, 1);
const short = kept(3, 2, 60);

describe('countWord(timeS)', () => {
	it.each([
		[-3, 'three'],
		[-2, 'two'],
		[-1, 'one'],
		[-0.01, 'one'],
		[0, 'go'],
		[0.99, 'go'],
		[1, null],
	])('calls %f s as %s', (timeS, word) => {
		expect(countWord(timeS)).toBe(word);
	});
});

describe('gaugeRows(panel, task)', () => {
	it('is "not measured" before the first sample and stands against the walls of the task after', () => {
		expect(gaugeRows(null, task).map(({ reading }) => reading.state)).toEqual(['missing', 'missing', 'missing']);
		const panel = { leverPct: 80, torquePct: 100.1, nrPct: 97, ngPct: 95, totC: 700, vibrationIps: 0.06 };
		const rows = gaugeRows(panel, task);
		expect(rows.map(({ id, reading }) => [id, reading.state])).toEqual([
			['torque', 'outside'],
			['temperature', 'inside'],
			['rotor', 'inside'],
		]);
	});
});

describe('gasGeneratorWords(panel)', () => {
	it('gives the number once there is one', () => {
		const panel = { leverPct: 80, torquePct: 80, nrPct: 100, ngPct: 95.04, totC: 700, vibrationIps: 0.06 };
		expect(gasGeneratorWords(panel)).toBe('gas generator 95.0 %, no limit here');
		expect(gasGeneratorWords(null)).toBe('gas generator not read yet, no limit here');
	});
});

describe('verdictRows(flown), verdictSentence(kept), twoTimes(flown)', () => {
	it('says inside on every line of a good ramp, with both times', () => {
		expect(verdictRows(good.flown).map(({ reading }) => reading.state)).toEqual(new Array(5).fill('inside'));
		expect(verdictSentence(good)).toBe('Inside on every line.');
		expect(twoTimes(good.flown)).toMatch(
			/^Equivalent linear (1\.99|2\.0\d) s\. From 2 to 98 % of the way: 1\.9\d s\.$/,
		);
	});

	it('names each line that is outside', () => {
		const states = Object.fromEntries(verdictRows(fast.flown).map(({ id, reading }) => [id, reading.state]));
		expect(states).toMatchObject({ time: 'outside', torque: 'outside', end: 'inside' });
		expect(verdictSentence(fast)).toMatch(/lines are outside: time by the lever, peak torque/);
	});

	it('cannot tell the time of a lever that did not get there, nor anything of a device that fell behind', () => {
		expect(verdictRows(short.flown)[0]?.reading).toEqual({
			state: 'cannot-judge',
			reason: 'the lever did not get to 80 %',
		});
		expect(twoTimes(short.flown)).toBeNull();
		expect(verdictSentence({ ...good, isStalled: true })).toMatch(/^Cannot tell: this device fell behind/);
	});
});

describe('bedAttempts(all)', () => {
	it('draws first, best and newest, each attempt once', () => {
		const roles = (all: readonly KeptAttempt[]) => bedAttempts(all).map(({ id, role }) => [id, role]);
		expect(roles([])).toEqual([]);
		expect(roles([good])).toEqual([['1', 'newest']]);
		expect(roles([{ ...fast, number: 1 }, { ...good, number: 2 }, short])).toEqual([
			['1', 'first'],
			['2', 'best'],
			['3', 'newest'],
		]);
	});

	it('calls none best for passing a limit rather than for stopping short', () => {
		const all = [
			{ ...short, number: 1 },
			{ ...fast, number: 2 },
			{ ...fast, number: 3 },
		];
		expect(bedAttempts(all).map(({ id, role }) => [id, role])).toEqual([
			['1', 'best'],
			['3', 'newest'],
		]);
	});

	it('never calls an attempt best that could not be judged', () => {
		const stalled = { ...good, number: 2, isStalled: true };
		expect(bedAttempts([{ ...fast, number: 1 }, stalled, short]).map(({ id, role }) => [id, role])).toEqual([
			['1', 'first'],
			['3', 'newest'],
		]);
	});

	it('draws from where the lever left its start', () => {
		const samples = bedAttempts([good])[0]?.samples ?? [];
		expect(samples[0]?.atS).toBeGreaterThanOrEqual(0);
		expect(samples[0]?.atS).toBeLessThan(0.05);
		expect(samples[0]?.valuePct).toBeLessThan(40);
	});
});

describe('leverAfter(way, push, dtS)', () => {
	it('gathers way, stops when let go and stays on its travel', () => {
		let way = { leverPct: 20, ratePctPerS: 0 };
		for (let n = 0; n < 60; n += 1) way = leverAfter(way, 1, 1 / 60);
		// 45 %/s after half a second: 11.25 % gathering and 22.5 % after, 0.4 % for whole frames
		expect(Math.abs(way.leverPct - 53.75)).toBeLessThan(0.5);
		expect(leverAfter(way, 0, 1 / 60)).toEqual({ leverPct: way.leverPct, ratePctPerS: 0 });
		for (let n = 0; n < 200; n += 1) way = leverAfter(way, 1, 1 / 60);
		expect(way.leverPct).toBe(100);
		expect(onTravel(-3)).toBe(0);
	});

	it('is pushed up by a stick pulled towards the negative, and not by one at rest', () => {
		expect([stickPush(-1), stickPush(1), stickPush(0.1), stickPush(-3)]).toEqual([1, -1, 0, 1]);
	});
});
