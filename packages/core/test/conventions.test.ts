import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
	type Convention,
	clockToDeg,
	fromInner,
	hubAngleOf,
	innerConvention,
	type PhaseSense,
	passAngleOf,
	type Turning,
	toInner,
} from '../src/conventions/index.js';
import { wrap180 } from '../src/phasor/index.js';
import type { Reckoning, VibrationUnit } from '../src/units/index.js';
import { okValue } from './published-vectors.js';

const rpm = 400;
const angle = fc.double({ min: -720, max: 720, noNaN: true });
const convention: fc.Arbitrary<Convention> = fc.record({
	scale: fc.record({
		unit: fc.constantFrom<VibrationUnit>('g', 'ips', 'mm/s', 'mil', 'um'),
		reckoning: fc.constantFrom<Reckoning>('peak', 'rms', 'peak-to-peak'),
	}),
	phase: fc.constantFrom<PhaseSense>('lag', 'lead'),
	pulsePassAngleDeg: fc.constantFrom(0, 72, 120, 180, 240),
	polarity: fc.constantFrom<1 | -1>(1, -1),
});

/** Lag of the positive peak of a sampled wave over one revolution, the definition itself: no complex arithmetic. */
function lagOfPeakDeg(wave: (turnDeg: number) => number): number {
	let best = 0;
	for (let turn = 0; turn < 360; turn += 0.25) if (wave(turn) > wave(best)) best = turn;
	return best;
}

describe('the convention border', () => {
	it('[SIG-1] keeps what is already in the inner form', () => {
		expect(okValue(toInner({ level: 0.2, phaseDeg: 118 }, innerConvention, rpm))).toEqual({
			amplitudeIps: 0.2,
			phaseDeg: 118,
		});
	});
	it('[SIG-2] integrates on lag phasors: acceleration peak at the pulse gives velocity lag 90° and displacement lag 180°', () => {
		const stated = (unit: VibrationUnit): Convention => ({ ...innerConvention, scale: { unit, reckoning: 'peak' } });
		expect(okValue(toInner({ level: 0.1, phaseDeg: 0 }, stated('g'), rpm)).phaseDeg).toBe(90);
		const velocity = okValue(toInner({ level: 0.1, phaseDeg: 0 }, stated('g'), rpm));
		expect(okValue(fromInner(velocity, stated('mil'), rpm)).phaseDeg).toBe(180);
	});
	it('[SIG-2] agrees with the peaks of the waves themselves: integrals of a cosine, searched sample by sample', () => {
		const lagDeg = 37;
		const acceleration = (turn: number) => Math.cos(((turn - lagDeg) * Math.PI) / 180);
		const velocity = (turn: number) => Math.sin(((turn - lagDeg) * Math.PI) / 180);
		const g: Convention = { ...innerConvention, scale: { unit: 'g', reckoning: 'peak' } };
		const inner = okValue(toInner({ level: 1, phaseDeg: lagOfPeakDeg(acceleration) }, g, rpm));
		expect(inner.phaseDeg).toBeCloseTo(lagOfPeakDeg(velocity), 9);
	});
	it('[SIG-3] a lead of 30° is a lag of 330°', () => {
		expect(okValue(toInner({ level: 1, phaseDeg: 30 }, { ...innerConvention, phase: 'lead' }, rpm)).phaseDeg).toBe(330);
	});
	it('[SIG-4] a pulse on another blade adds its pass angle, n times as much on order n', () => {
		const onC: Convention = { ...innerConvention, pulsePassAngleDeg: 240 };
		expect(okValue(toInner({ level: 1, phaseDeg: 10 }, onC, rpm)).phaseDeg).toBe(250);
		expect(okValue(toInner({ level: 1, phaseDeg: 10 }, onC, rpm, 2)).phaseDeg).toBe(130);
	});
	it('[SIG-5] reversed polarity is half a turn', () => {
		expect(okValue(toInner({ level: 1, phaseDeg: 200 }, { ...innerConvention, polarity: -1 }, rpm)).phaseDeg).toBe(20);
	});
	it('returns to the stated reading through the inner form, for every convention and order (1e-9, property)', () => {
		const level = fc.double({ min: 1e-3, max: 50, noNaN: true });
		fc.assert(
			fc.property(
				convention,
				level,
				angle,
				fc.double({ min: 100, max: 3000, noNaN: true }),
				fc.integer({ min: 1, max: 8 }),
				(c, a, p, speed, order) => {
					const inner = okValue(toInner({ level: a, phaseDeg: p }, c, speed, order));
					expect(inner.phaseDeg).toBeGreaterThanOrEqual(0);
					expect(inner.phaseDeg).toBeLessThan(360);
					const back = okValue(fromInner(inner, c, speed, order));
					expect(back.level / a).toBeCloseTo(1, 12);
					expect(wrap180((back.phaseDeg ?? Number.NaN) - p)).toBeCloseTo(0, 8);
				},
			),
		);
	});
	it('keeps a missing phase missing, both ways', () => {
		const g: Convention = { ...innerConvention, scale: { unit: 'g', reckoning: 'rms' } };
		const inner = okValue(toInner({ level: 1, phaseDeg: null }, g, rpm));
		expect(inner.phaseDeg).toBeNull();
		expect(okValue(fromInner(inner, g, rpm)).phaseDeg).toBeNull();
	});
	it('refuses a negative level, a phase that is no number and a speed of zero where the speed matters', () => {
		const g: Convention = { ...innerConvention, scale: { unit: 'g', reckoning: 'peak' } };
		expect(toInner({ level: -1, phaseDeg: 0 }, g, rpm)).toMatchObject({
			problem: { code: 'not-a-level', path: '$.level' },
		});
		expect(toInner({ level: 1, phaseDeg: Number.NaN }, g, rpm)).toMatchObject({ problem: { code: 'not-a-phase' } });
		expect(toInner({ level: 1, phaseDeg: 0 }, g, 0)).toMatchObject({ problem: { code: 'no-speed' } });
		expect(toInner({ level: 1, phaseDeg: 0 }, innerConvention, 0).ok).toBe(true);
		expect(fromInner({ amplitudeIps: Number.NaN, phaseDeg: 0 }, g, rpm)).toMatchObject({
			problem: { path: '$.amplitudeIps' },
		});
	});
});

describe('angles on the hub and on a dial', () => {
	it('[SIG-6] an angle counted the way the rotor turns is the opposite of the pass angle', () => {
		expect(passAngleOf(120, 'counter-clockwise', 'counter-clockwise')).toBe(240);
		expect(passAngleOf(120, 'clockwise', 'counter-clockwise')).toBe(120);
	});
	it('hubAngleOf undoes passAngleOf (property)', () => {
		const turning = fc.constantFrom<Turning>('clockwise', 'counter-clockwise');
		fc.assert(
			fc.property(angle, turning, turning, (a, counted, rotor) => {
				expect(wrap180(hubAngleOf(passAngleOf(a, counted, rotor), counted, rotor) - a)).toBeCloseTo(0, 9);
			}),
		);
	});
	it('[SIG-7] clockToDeg reads 12:00 as 0°, 3:00 as 90°, 7:30 as 225°, and refuses 13:00 and 5:60', () => {
		expect([
			okValue(clockToDeg(12)),
			okValue(clockToDeg(0)),
			okValue(clockToDeg(3)),
			okValue(clockToDeg(7, 30)),
		]).toEqual([0, 0, 90, 225]);
		expect(clockToDeg(13)).toMatchObject({ problem: { code: 'not-a-clock-position', path: '$.hours' } });
		expect(clockToDeg(5, 60)).toMatchObject({ problem: { path: '$.minutes' } });
	});
});
