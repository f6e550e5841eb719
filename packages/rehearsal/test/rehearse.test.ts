import { describe, expect, it } from 'vitest';
import { type RehearseSettings, rehearse } from '../src/index.js';

const pilots = 120;
const attempts = 6;

/** Attempts inside, of all pilots, by number of the attempt. */
function curve(settings: Omit<RehearseSettings, 'seed' | 'attempts'>): readonly number[] {
	const inside = new Array<number>(attempts).fill(0);
	for (let pilot = 0; pilot < pilots; pilot += 1) {
		for (const { attempt, isInside } of rehearse({ seed: 1 + 7919 * pilot, attempts, ...settings })) {
			inside[attempt - 1] = (inside[attempt - 1] ?? 0) + (isInside ? 1 : 0);
		}
	}
	return inside;
}

/** Wilson's score interval of a share, 95 % (Wilson 1927, from memory). */
function wilson(count: number, of: number): readonly [number, number] {
	const z = 1.96;
	const p = count / of;
	const middle = (p + (z * z) / (2 * of)) / (1 + (z * z) / of);
	const half = (z / (1 + (z * z) / of)) * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of));
	return [middle - half, middle + half];
}

describe('rehearse({seed, attempts, targetS, limits, usesWarning})', () => {
	const two = curve({ targetS: 2 });
	const three = curve({ targetS: 3 });
	const deaf = curve({ targetS: 2, usesWarning: false });
	const first = (inside: readonly number[]) => wilson(inside[0] ?? 0, pilots);
	const last = (inside: readonly number[]) => wilson(inside.at(-1) ?? 0, pilots);
	const total = (inside: readonly number[]) => inside.reduce((sum, one) => sum + one, 0);

	it('[RHS-25] succeeds more often after practice with the warning: the 95 % ranges of first and last attempt lie apart', () => {
		expect(last(two)[0]).toBeGreaterThan(first(two)[1]);
		expect(last(three)[0]).toBeGreaterThan(first(three)[1]);
	});

	it('[RHS-26] succeeds less often at the two-second ramp than at the three-second one: the 95 % ranges of first attempts lie apart', () => {
		expect(first(two)[1]).toBeLessThan(first(three)[0]);
		// attempts of one pilot depend on each other, so their total has no such range
		expect(total(two)).toBeLessThan(total(three));
	});

	it('[RHS-25] gains more with the warning than without', () => {
		expect(last(two)[0]).toBeGreaterThan(last(deaf)[1]);
	});

	it('[RHS-20] gives the same numbers for the same seed', () => {
		expect(rehearse({ seed: 7, attempts: 3, targetS: 2 })).toEqual(rehearse({ seed: 7, attempts: 3, targetS: 2 }));
		expect(rehearse({ seed: 8, attempts: 3, targetS: 2 })).not.toEqual(rehearse({ seed: 7, attempts: 3, targetS: 2 }));
	});

	it('[RHS-24] judges against the limits that were given', () => {
		const limits = { torquePct: 60, nrPct: 97, totC: 780 };
		for (const one of rehearse({ seed: 7, attempts: 3, targetS: 3, limits })) expect(one.faults).toContain('torque');
	});
}, 60_000);
