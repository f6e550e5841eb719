import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
	add,
	angleOfDeg,
	divide,
	fromPolar,
	magnitude,
	multiply,
	turnBy,
	wrap180,
	wrap360,
} from '../src/phasor/index.js';

const angle = fc.double({ min: -5000, max: 5000, noNaN: true });
const size = fc.double({ min: 1e-6, max: 1e6, noNaN: true });

describe('angles', () => {
	it('wrap360(angleDeg) returns [0, 360) at the seams 0, -0, 360, -360 and just below zero', () => {
		expect([0, -0, 360, -360, 720, -90, 359.5].map(wrap360)).toEqual([0, 0, 0, 0, 0, 270, 359.5]);
		expect(Object.is(wrap360(-0), 0)).toBe(true);
		expect(wrap360(-1e-18)).toBe(0);
	});
	it('wrap180(angleDeg) returns (-180, 180] and keeps the direction', () => {
		expect([180, -180, 190, -190, 540, 10].map(wrap180)).toEqual([180, 180, -170, 170, 180, 10]);
	});
	it('wrap360 and wrap180 name the same direction for every angle', () => {
		fc.assert(
			fc.property(angle, (a) => {
				const wrapped = wrap360(a);
				expect(wrapped).toBeGreaterThanOrEqual(0);
				expect(wrapped).toBeLessThan(360);
				expect(wrap360(wrap180(a))).toBeCloseTo(wrapped, 9);
			}),
		);
	});
});

describe('complex arithmetic', () => {
	it('turnBy(angleDeg) is exact at quarter turns, so opposite arms cancel to zero', () => {
		expect(add(turnBy(90), turnBy(270))).toEqual({ re: 0, im: 0 });
		expect(add(turnBy(0), turnBy(-180))).toEqual({ re: 0, im: 0 });
	});
	it('fromPolar and angleOfDeg return the same size and direction (round trip, 1e-9: double arithmetic)', () => {
		fc.assert(
			fc.property(size, angle, (s, a) => {
				const z = fromPolar(s, a);
				expect(magnitude(z) / s).toBeCloseTo(1, 12);
				expect(wrap180(angleOfDeg(z) - a)).toBeCloseTo(0, 9);
			}),
		);
	});
	it('divide(multiply(a, b), b) returns a, also for very large and very small b', () => {
		fc.assert(
			fc.property(size, angle, fc.constantFrom(1e-150, 1e-3, 1, 1e150), angle, (s, a, t, b) => {
				const back = divide(multiply(fromPolar(s, a), fromPolar(t, b)), fromPolar(t, b));
				expect(back.re / s).toBeCloseTo(fromPolar(1, a).re, 9);
				expect(back.im / s).toBeCloseTo(fromPolar(1, a).im, 9);
			}),
		);
	});
});
