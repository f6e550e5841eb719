import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type AttemptFault, rehearse } from '../src/index.js';

const folder = join(import.meta.dirname, '..', '..', '..', 'demo-scenarios', 'two-second-ramp');
const read = (name: string): unknown => JSON.parse(readFileSync(join(folder, name), 'utf8'));

interface Lesson {
	readonly insideInARow: number;
	readonly seed: number;
	readonly attempts: number;
	readonly targetS: number;
	readonly usesWarning: boolean;
}

interface Expected {
	readonly toleranceS: number;
	readonly tolerancePct: number;
	readonly attempts: readonly {
		readonly equivalentS: number;
		readonly peakTorquePct: number;
		readonly leastNrPct: number;
		readonly faults: readonly AttemptFault[];
	}[];
}

const lesson = read('lesson.json') as Lesson;
const expected = read('expected.json') as Expected;

describe('scenario two-second-ramp (invented)', () => {
	const { seed, attempts, targetS, usesWarning } = lesson;
	const flown = rehearse({ seed, attempts, targetS, usesWarning });

	it('[RHS-20] flies the attempts that the scenario expects; tolerances are one step of a gauge', () => {
		expect(flown.map(({ faults }) => faults)).toEqual(expected.attempts.map(({ faults }) => faults));
		expected.attempts.forEach((one, at) => {
			const { times, peakTorquePct, leastNrPct } = flown[at] ?? {};
			const off = (value: number | null | undefined, wanted: number) => Math.abs((value ?? Number.NaN) - wanted);
			expect(off(times?.equivalentS, one.equivalentS)).toBeLessThanOrEqual(expected.toleranceS);
			expect(off(peakTorquePct, one.peakTorquePct)).toBeLessThanOrEqual(expected.tolerancePct);
			expect(off(leastNrPct, one.leastNrPct)).toBeLessThanOrEqual(expected.tolerancePct);
		});
	});

	it('[RHS-24] reaches the aim that was set before the start', () => {
		expect(flown.slice(-lesson.insideInARow).every(({ isInside }) => isInside)).toBe(true);
	});
});
