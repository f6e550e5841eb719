import { describe, expect, it } from 'vitest';
import type { Limits } from '../src/exceedance/index.js';
import { FeedWatch } from '../src/feed/index.js';

/** Invented: a torque line in two airspeed ranges. */
const limits: Limits = {
	parameters: [
		{
			id: 'torquePct',
			lines: [
				{ id: 'hover', above: 100, maxSeconds: 0, when: { iasKt: { atMost: 40 } }, reference: 'invented' },
				{ id: 'cruise', above: 92.7, maxSeconds: 0, when: { iasKt: { atLeast: 40 } }, reference: 'invented' },
			],
		},
		{ id: 'iasKt' },
	],
};

/** 50 Hz of steady flight, heard as it happens. */
function steady(watch: FeedWatch, seconds: number, iasKt = 20, torquePct = 60, fromS = 0): void {
	for (let n = 0; n <= seconds * 50; n++) {
		const timeS = fromS + n / 50;
		watch.hear({ timeS, values: { torquePct, iasKt } }, timeS);
	}
}

describe('FeedWatch', () => {
	it('[FEED-6] names the line that holds now by the feed, and only while the feed is fresh', () => {
		const watch = new FeedWatch(limits);
		steady(watch, 2);
		expect(
			watch
				.limits(2)
				.flatMap(({ lines }) => lines)
				.map(({ line, holds }) => [line, holds]),
		).toEqual([['hover', 'surely']]);
		steady(watch, 1, 80, 60, 2.02);
		expect(
			watch
				.limits(3.02)
				.flatMap(({ lines }) => lines)
				.map(({ line }) => line),
		).toEqual(['cruise']);
	});

	it('[FEED-6] warns ahead of a line that a rising torque is about to cross', () => {
		const watch = new FeedWatch(limits);
		steady(watch, 1);
		const warnedAt = Array.from({ length: 60 }, (_, n) => n).find((n) => {
			const timeS = 1 + (n + 1) / 50;
			watch.hear({ timeS, values: { torquePct: 60 + 40 * ((n + 1) / 50), iasKt: 20 } }, timeS);
			return watch.limits(timeS).some(({ lines }) => lines.some(({ soon }) => soon));
		});
		// 40 % a second from 60 %: the line is crossed at n = 49; the warning comes 0.3 s before, never after
		expect(warnedAt).toBeGreaterThan(25);
		expect(warnedAt).toBeLessThan(40);
	});

	it('[FEED-7] a source that stalls is blank after a second, with its age, and goes on when it comes back', () => {
		const watch = new FeedWatch(limits);
		expect(watch.pulse(0)).toBe('silent');
		steady(watch, 2);
		expect(watch.pulse(2.5)).toBe('live');
		expect(watch.pulse(3.5)).toBe('stalled');
		expect(watch.ageS(3.5)).toBeCloseTo(1.5, 9);
		expect(watch.newest(3.5)).toBeNull();
		expect(watch.limits(3.5).every(({ fresh, lines }) => !fresh && lines.length === 0)).toBe(true);
		watch.hear({ timeS: 4, values: { torquePct: 61, iasKt: 20 } }, 4);
		expect(watch.newest(4.1)?.values.torquePct).toBe(61);
		expect(watch.faults.gaps).toBe(1);
	});

	it('[FEED-8] a late moment never replaces a newer one; a source that begins anew is heard again', () => {
		const watch = new FeedWatch(limits);
		steady(watch, 5);
		watch.hear({ timeS: 4.9, values: { torquePct: 120, iasKt: 20 } }, 5.02);
		expect(watch.newest(5.02)?.values.torquePct).toBe(60);
		watch.hear({ timeS: 0, values: { torquePct: 70, iasKt: 20 } }, 5.1);
		expect(watch.newest(5.1)?.values.torquePct).toBe(70);
		expect(watch.limits(5.1).find(({ parameter }) => parameter === 'torquePct')?.value).toBe(70);
		expect(watch.faults.backward).toBe(2);
	});

	it('[FEED-8] a jump forward is a gap and brings no rate of its own', () => {
		const watch = new FeedWatch(limits);
		steady(watch, 2);
		watch.hear({ timeS: 500, values: { torquePct: 99, iasKt: 20 } }, 2.02);
		expect(watch.faults.gaps).toBe(1);
		expect(watch.limits(2.02).some(({ lines }) => lines.some(({ soon }) => soon))).toBe(false);
	});

	it('[FEED-8] a moment that repeats its time is counted, keeps the source alive and changes nothing', () => {
		const watch = new FeedWatch(limits);
		steady(watch, 1);
		watch.hear({ timeS: 1, values: { torquePct: 130, iasKt: 20 } }, 1.9);
		expect(watch.faults.repeats).toBe(1);
		expect(watch.newest(1.9)?.values.torquePct).toBe(60);
	});

	it('[FEED-9] a flood of a million moments is thinned, and memory stays bounded', () => {
		const watch = new FeedWatch(limits);
		for (let n = 0; n < 1_000_000; n++) {
			const timeS = n / 2_500;
			watch.hear({ timeS, values: { torquePct: 60, iasKt: 20 } }, timeS);
		}
		expect(watch.faults.passedOver).toBeGreaterThan(970_000);
		// 400 s came; at most twice the 90 s that are looked back at are held
		expect(watch.recent('torquePct', 1e9).length).toBeLessThanOrEqual(9_240);
		expect(watch.pulse(400)).toBe('live');
	});

	it('judges a steady hold and times a ramp by the functions that judge files', () => {
		const watch = new FeedWatch(limits);
		steady(watch, 40, 80, 75);
		const rule = {
			stabiliseS: 20,
			recordS: 10,
			bands: [{ id: 'torquePct', spanAtMost: 1, slopePerMinuteAtMost: 1 }],
			record: [],
			limits: [],
			periodAtMostS: 0.5,
			conditions: [],
		};
		const held = watch.hold(rule, {});
		expect(held.ok && held.value.proved).toBe(true);
		expect(held.ok && held.value.means.torquePct).toBeCloseTo(75, 9);
		// a straight ramp of the torque in 2 s: both times are the ramp's own
		for (let n = 1; n <= 250; n++) {
			const timeS = 40 + n / 50;
			watch.hear({ timeS, values: { torquePct: 75 - Math.min(50, 25 * Math.max(0, timeS - 41)), iasKt: 80 } }, timeS);
		}
		const moved = watch.movement('torquePct', 5);
		expect(moved.ok && moved.value.equivalentLinear.valueS).toBeCloseTo(2, 6);
		expect(watch.hold(rule, {}).ok && (watch.hold(rule, {}) as { value: { proved: boolean } }).value.proved).toBe(
			false,
		);
	});
});
