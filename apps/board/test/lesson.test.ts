import type { EntryOf } from '@stillmast/formats/entry';
import { calmDay, judgeAttempt, noTrouble, ouzel3, ouzel3Ramp, RampAttempt, seededDraw } from '@stillmast/rehearsal';
import { describe, expect, it } from 'vitest';
import { Lags } from '../src/lib/feed/lags.js';
import {
	instructorFromFeed,
	instructorToFeed,
	nothingAsked,
	traineeFromFeed,
	traineeToFeed,
} from '../src/lib/feed/lesson-moment.js';
import { stripDrawing } from '../src/lib/feed/strip.view.js';
import { attemptFrom, keepAttempt } from '../src/lib/lesson/attempt-entry.js';
import { harderSwitches, progressOf } from '../src/lib/lesson/lesson.view.js';
import { hashOfHidden, isAimFixedBefore, planOf, revealed } from '../src/lib/lesson/lesson-plan.js';
import { countKnock, knockSamples } from '../src/lib/rehearsal/knocks.js';
import type { KeptAttempt } from '../src/lib/rehearsal/rehearsal.view.js';

const task = ouzel3Ramp(2);

function flown(number: number, rampS: number, isStalled = false): KeptAttempt {
	const attempt = new RampAttempt({ type: ouzel3, conditions: calmDay, task, draw: seededDraw(number) });
	while (!attempt.isOver) attempt.step(20 + 60 * Math.min(1, Math.max(0, (attempt.timeS - 0.3) / rampS)));
	const trace = attempt.trace();
	const judgement = judgeAttempt(trace, task);
	return { number, isStalled, flown: { judgement, trace, task, fromTorquePct: 29.7, toTorquePct: 83.5 } };
}
const good = flown(1, 2);
const fast = flown(2, 1);

describe('progressOf(plan, attempts)', () => {
	it('[LSN-3] counts attempts inside one after the other, and keeps the longest row', () => {
		expect(progressOf({ inARow: 3 }, [])).toMatchObject({ row: 0, longest: 0, isReached: false });
		expect(progressOf({ inARow: 2 }, [good, good])).toMatchObject({ row: 2, longest: 2, isReached: true });
		expect(progressOf({ inARow: 3 }, [good, good, fast, good])).toMatchObject({ row: 1, longest: 2, isReached: false });
	});

	it('[LSN-3] one that the device flew late breaks the row, inside or not', () => {
		const late = { ...good, isStalled: true };
		expect(progressOf({ inARow: 2 }, [good, late, good])).toMatchObject({ row: 1, longest: 1, isReached: false });
	});
});

describe('the plan in the record', () => {
	const entry = (field: string, value: string | number, n: number) => ({ field, value, n }) as EntryOf<'header'>;
	const hidden = { text: 'The torque gauge freezes.', salt: 'c2FsdA' };
	const header = [
		entry('lesson/in-a-row', 3, 2),
		entry('lesson/ramp-time', 2, 3),
		entry('lesson/hidden-hash', hashOfHidden(hidden), 4),
		entry('lesson/aim', 'Three inside.', 5),
	];
	const state = (more: object = {}) => ({ of: { header, attempt: [], narrative: [], ...more } }) as never;

	it('[LSN-1] is read back whole, and says when it was changed after an attempt', () => {
		expect(planOf(state())).toMatchObject({ aim: 'Three inside.', inARow: 3, targetS: 2 });
		expect(planOf(state({ header: [] }))).toBeNull();
		expect(isAimFixedBefore(state({ attempt: [{ n: 9 }] }))).toBe(true);
		const changed = [...header, entry('lesson/aim', 'One inside.', 12)];
		expect(isAimFixedBefore(state({ header: changed, attempt: [{ n: 9 }] }))).toBe(false);
	});

	it('[LSN-2] what is shown later is held against the hash that was there before', () => {
		const shown = (text: string) =>
			state({ narrative: [{ subject: 'lesson/hidden', text: `${hidden.salt}\n${text}` }] });
		expect(revealed(state())).toBeNull();
		expect(revealed(shown(hidden.text))).toEqual({ text: hidden.text, isAsFixed: true });
		expect(revealed(shown('The warning is silent.'))).toMatchObject({ isAsFixed: false });
	});
});

describe('moments of a lesson', () => {
	it('[LSN-9] come back as they were said, missing gauges missing', () => {
		const moment = {
			phase: 'flying',
			attempt: 2,
			timeS: -1.5,
			panel: { leverPct: 20.1, torquePct: null, nrPct: 100, ngPct: 80, totC: 600, vibrationIps: 0.05 },
			isWarned: true,
			applied: 7,
			sentAtMs: 1_700_000_000_000,
		} as const;
		expect(traineeFromFeed(traineeToFeed(moment))).toEqual(moment);
		const asked = {
			...nothingAsked,
			word: 3,
			conditions: { ...calmDay, oatC: 38 },
			trouble: { vibrationIps: 0.4, isWarningSilent: true, frozenGauge: 'torquePct' },
			isPaused: true,
			go: 2,
			talk: 1,
		} as const;
		expect(instructorFromFeed(instructorToFeed(asked))).toEqual(asked);
		expect(traineeFromFeed({ values: { torquePct: 60 }, states: {} })).toBeNull();
		expect(instructorFromFeed({ values: {}, states: {} })).toBeNull();
	});

	it('each switch turns one thing on and off again', () => {
		for (const { isOn, next, id } of harderSwitches(calmDay, noTrouble)) {
			expect(isOn).toBe(false);
			const back = harderSwitches(next.conditions, next.trouble).find((one) => one.id === id);
			expect(back?.isOn).toBe(true);
			expect(back?.next).toEqual({ conditions: calmDay, trouble: noTrouble });
		}
	});
});

describe('an attempt in the record', () => {
	it('is judged from its own trace as it was when it was flown', async () => {
		const blobs = new Map<string, Uint8Array>();
		const entries = new Map<string, unknown>();
		const session = {
			putBlob: async (bytes: Uint8Array) => {
				const hash = String(blobs.size);
				blobs.set(hash, bytes);
				return { ok: true, value: hash };
			},
			write: async (kind: string, fields: object) => {
				const entry = { kind, ...fields, hash: `${kind}-1` };
				entries.set(entry.hash, entry);
				return { ok: true, value: entry };
			},
			blob: async (hash: string) => blobs.get(hash) ?? null,
			entries: { get: (hash: string) => entries.get(hash) },
		} as never;
		expect(await keepAttempt(session, fast, Date.UTC(2026, 10, 25))).toMatchObject({ ok: true });
		const written = entries.get('attempt-1') as EntryOf<'attempt'>;
		expect(written).toMatchObject({ attempt: 2, verdict: 'outside', aim: { targetS: 2 }, traces: ['trace-1'] });
		const read = await attemptFrom(session, written);
		expect(read?.flown.judgement.faults).toEqual(fast.flown.judgement.faults);
		// the trace's values are single floats: seven figures
		expect(read?.flown.judgement.peakTorquePct).toBeCloseTo(fast.flown.judgement.peakTorquePct ?? 0, 4);
		expect(read?.flown.judgement.times?.equivalentS).toBeCloseTo(fast.flown.judgement.times?.equivalentS ?? 0, 5);
		blobs.clear();
		expect(await attemptFrom(session, written)).toBeNull();
	});
});

describe('stripDrawing(samples, scale)', () => {
	const scale = { fromS: 0, toS: 10, low: 0, high: 100 };
	it('draws in time and value, clips to its room and leaves gaps open', () => {
		const drawing = stripDrawing(
			[
				{ atS: 0, value: 0 },
				{ atS: 0.2, value: 100 },
				{ atS: 5, value: 140 },
				{ atS: 11, value: 50 },
			],
			scale,
			[{ at: 100, forbidden: 'above' }],
		);
		expect(drawing.line).toBe('M0.0 84.0L14.4 0.0M360.0 0.0');
		expect(drawing.newest).toEqual({ x: 360, y: 0 });
		expect(drawing.walls[0]?.y).toBe(0);
	});
});

describe('Lags', () => {
	it('says how large 95 in 100 are, of the newest', () => {
		const lags = new Lags();
		expect(lags.p95Ms).toBeNull();
		for (let n = 1; n <= 100; n++) lags.add(n);
		expect(lags.p95Ms).toBe(95);
		for (let n = 0; n < 5_000; n++) lags.add(3);
		expect(lags.p95Ms).toBe(3);
		expect(lags.count).toBeLessThanOrEqual(1_200);
	});
});

describe('knocks', () => {
	it('counts three, goes once, whatever the frames are', () => {
		const heard = Array.from({ length: 80 }, (_, n) => countKnock(-3.1 + n * 0.05, -3.05 + n * 0.05));
		expect(heard.filter((knock) => knock !== null)).toEqual(['count', 'count', 'count', 'go']);
	});

	it('[LSN-10] a knock is noise without a pitch, and dies away', () => {
		const samples = knockSamples(4_000);
		const power = (from: number, to: number) => samples.slice(from, to).reduce((sum, one) => sum + one * one, 0);
		expect(power(3_000, 4_000)).toBeLessThan(0.001 * power(0, 1_000));
		// no delay at which it repeats itself: the largest correlation stays far below that of a tone, which is 1
		const most = Math.max(
			...Array.from({ length: 400 }, (_, n) => n + 20).map((delay) => {
				let sum = 0;
				for (let at = 0; at + delay < 2_000; at++) sum += (samples[at] ?? 0) * (samples[at + delay] ?? 0);
				return Math.abs(sum) / power(0, 2_000);
			}),
		);
		expect(most).toBeLessThan(0.3);
	});
});
