import { describe, expect, it } from 'vitest';
import type { RotorProblem } from '../src/balance/index.js';
import { angleOfDeg, type Complex, fromPolar, turnBy } from '../src/phasor/index.js';
import { contractExample, solved } from './balance-examples.js';

/** Invented: plates on every blade of a rotor whose table is right, and a fault that plates on two blades would mend. */
function rotorOf(anglesDeg: readonly number[], mend: readonly number[]): RotorProblem {
	const ids = anglesDeg.map((_, n) => String.fromCharCode(65 + n));
	const fault = effectOf(anglesDeg, mend);
	const reading = {
		amplitudeIps: Math.hypot(fault.re, fault.im),
		phaseDeg: angleOfDeg({ re: -fault.re, im: -fault.im }),
	};
	return {
		...contractExample,
		rotor: { id: 'main', rpm: 390, blades: ids.map((id, n) => ({ id, passAngleDeg: anglesDeg[n]! })) },
		adjusters: ids.map((blade, n) => ({
			...contractExample.adjusters[0]!,
			id: `plate-${blade}`,
			blade,
			passAngleDeg: anglesDeg[n]!,
		})),
		coefficients: contractExample.coefficients.map((c) => ({ ...c, sdRelative: 0.01 })),
		noise: { sdIps: 0.002 },
		stock: {},
		maxTouches: anglesDeg.length,
		runs: [{ id: 'r1', settings: {}, readings: { 'hover/lat': reading } }],
	};
}

/** What plates on the blades do to the reading by the table, each turned by its pass angle. */
function effectOf(anglesDeg: readonly number[], plates: readonly number[]): Complex {
	const { amplitudeIpsPerUnit, phaseDeg } = contractExample.coefficients[0]!;
	const unit = fromPolar(amplitudeIpsPerUnit, phaseDeg);
	return anglesDeg.reduce(
		(sum, angle, n) => {
			const turn = turnBy(angle);
			const count = plates[n] ?? 0;
			return {
				re: sum.re + count * (unit.re * turn.re - unit.im * turn.im),
				im: sum.im + count * (unit.re * turn.im + unit.im * turn.re),
			};
		},
		{ re: 0, im: 0 },
	);
}

describe('solveRotor(problem) with two to seven blades', () => {
	for (const count of [2, 3, 4, 5, 6, 7]) {
		const even = Array.from({ length: count }, (_, n) => (360 * n) / count);
		// arms of a bearingless or scissored hub
		const uneven = even.map((angle, n) => (n % 2 === 1 ? angle + 11 : angle));
		for (const [name, angles] of [
			['even arms', even],
			['uneven arms', uneven],
		] as const) {
			it(`${count} blades, ${name}: finds the plates that mend it, and what it foretells is the sum of their effects`, () => {
				const problem = rotorOf(angles, [3, 2]);
				const { proposals } = solved(problem);
				const best = proposals.reduce((a, b) => (b.worstRatioToGoal < a.worstRatioToGoal ? b : a));
				const plates = problem.adjusters.map((a) => best.settings[a.id]!);
				const [mend, made] = [effectOf(angles, [3, 2]), effectOf(angles, plates)];
				const leftIps = Math.hypot(made.re - mend.re, made.im - mend.im);
				// the fault's prior draws the mean by less than half a scatter
				expect(Math.abs(best.predicted['hover/lat']!.amplitudeIps - leftIps)).toBeLessThan(0.001);
				expect(leftIps).toBeLessThan(0.001);
				expect(plates.reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(5);
			});
		}

		it(`${count} blades, even arms: no plates that only cancel each other (all round, opposite)`, () => {
			const problem = rotorOf(even, [3, 2]);
			for (const { settings } of solved(problem).proposals) {
				const plates = problem.adjusters.map((a) => settings[a.id]!);
				for (let parts = 2; parts <= count; parts++) {
					if (count % parts !== 0) continue;
					// blades a whole part apart cancel when they carry the same
					for (let first = 0; first < count / parts; first++) {
						const ring = Array.from({ length: parts }, (_, n) => plates[first + (n * count) / parts]!);
						expect(Math.min(...ring)).toBe(0);
					}
				}
			}
		});
	}
});
