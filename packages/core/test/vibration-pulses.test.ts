import { describe, expect, it } from 'vitest';
import { judgePulses, type PulseColumn, PulseDetector } from '../src/vibration/index.js';
import { noisyRecording } from './rotor-recording.js';

const column = (settings: Partial<PulseColumn> = {}): PulseColumn => ({
	column: 'p',
	threshold: 0.5,
	hysteresis: 0.2,
	...settings,
});
function pulsesIn(samples: readonly number[], settings: Partial<PulseColumn> = {}): number[] {
	const times: number[] = [];
	new PulseDetector(column(settings)).push(Float64Array.from(samples), times);
	return times;
}

describe('PulseDetector', () => {
	it('[SIG-10] places a crossing between two samples by a straight line', () => {
		expect(pulsesIn([0, 0, 1, 1, 0, 0])).toEqual([1.5]);
		expect(pulsesIn([0, 0.2, 0.7, 1, 0])).toEqual([expect.closeTo(1 + 0.3 / 0.5, 12)]);
	});
	it('[SIG-11] counts no second pulse until the signal was back beyond the hysteresis', () => {
		expect(pulsesIn([0, 1, 0.45, 1, 0.45, 1, 0])).toHaveLength(1);
		expect(pulsesIn([0, 1, 0.25, 1, 0])).toHaveLength(2);
	});
	it('[SIG-10] takes the falling flank or the middle where the setup says so', () => {
		expect(pulsesIn([1, 1, 0, 0, 1, 1, 0], { edge: 'falling' })).toEqual([1.5, 5.5]);
		expect(pulsesIn([0, 0, 1, 1, 1, 0, 0], { edge: 'centre' })).toEqual([3]);
	});
	it('gives no pulse for a column that starts inside one, nor for a jump out of missing samples', () => {
		expect(pulsesIn([1, 1, 0, 1, 0])).toEqual([2.5]);
		expect(pulsesIn([0, Number.NaN, 1, 0, 1])).toEqual([3.5]);
	});
	it('finds the same pulses whatever the pieces the column arrives in', () => {
		const { columns } = noisyRecording(3, 8);
		const whole: number[] = [];
		new PulseDetector(column({ threshold: 2.5, hysteresis: 0.5 })).push(columns.pulse as Float32Array, whole);
		for (const size of [1, 7, 1000]) {
			const pieces: number[] = [];
			const detector = new PulseDetector(column({ threshold: 2.5, hysteresis: 0.5 }));
			const all = columns.pulse as Float32Array;
			for (let at = 0; at < all.length; at += size) detector.push(all.subarray(at, at + size), pieces);
			expect(pieces).toEqual(whole);
		}
	});
	it('finds the middle of noisy pulses of an invented recording within 0.05° of rotor angle (noise 0.02 on a slope of 107 per radian)', () => {
		const { columns, pulseTimesS, sampleRateHz } = noisyRecording(4, 20);
		const found: number[] = [];
		new PulseDetector(column({ threshold: 2.5, hysteresis: 0.5, edge: 'centre' })).push(
			columns.pulse as Float32Array,
			found,
		);
		// the recording starts inside a pulse, which counts for the truth only
		const truth = pulseTimesS.filter((t) => t * sampleRateHz > (found[0] ?? 0) - 5);
		expect(found.length).toBe(truth.length);
		found.forEach((time, k) => {
			const awayDeg = (time / sampleRateHz - (truth[k] ?? Number.NaN)) * 6.5 * 360;
			expect(Math.abs(awayDeg)).toBeLessThan(0.05);
		});
	});
});

describe('judgePulses', () => {
	const even = (count: number, span = 100) => Array.from({ length: count }, (_, k) => 50 + k * span);

	it('[SIG-12] passes over a double pulse, wherever in the span it comes', () => {
		for (const extra of [355, 380, 420, 447]) {
			const judged = judgePulses(
				[...even(12), extra].sort((a, b) => a - b),
				undefined,
				true,
			);
			expect(judged.double).toBe(1);
			expect(judged.missed).toBe(0);
			expect(judged.spans.map(({ to, from }) => to - from)).toEqual(new Array(11).fill(100));
		}
	});
	it('[SIG-13] counts the marks of a span in which pulses were missed', () => {
		const judged = judgePulses(
			even(14).filter((_, k) => k !== 5 && k !== 9 && k !== 10),
			undefined,
			true,
		);
		expect(judged.missed).toBe(3);
		expect(judged.spans.map(({ marks }) => marks)).toEqual([1, 1, 1, 1, 2, 1, 1, 3, 1, 1]);
	});
	it('leaves the end of a batch for the next, and takes over its usual span', () => {
		const first = judgePulses(even(10), undefined, false);
		expect(first.taken).toBe(8);
		const second = judgePulses([850, 950, 1150], first.usual, true);
		expect(second.spans.map(({ marks }) => marks)).toEqual([1, 2]);
	});
});
