import { describe, expect, it } from 'vitest';
import { chooseSettings } from '../src/balance/choice/choose-settings.js';
import { bestByCounting, smallInstance } from './choice-instances.js';

// `STILLMAST_LONG=1 npx vitest run test/choice-exact.test.ts` walks 1000 instances of up to 10⁶ layouts.
const long = process.env.STILLMAST_LONG === '1';
const instances = long ? 1000 : 500;
const mostLayouts = long ? 1e6 : 1e4;
const chunk = 50;

/** What the instances turned out to hold, so that the suite cannot pass on empty ones. */
const met = { layouts: 0, tied: 0, impossible: 0, locked: 0, offGrid: 0, limited: 0, weighted: 0 };

describe('chooseSettings(problem) equals counting through every layout', () => {
	for (let from = 1; from <= instances; from += chunk) {
		it(`on the invented instances ${from} to ${from + chunk - 1}, for every number of touches and every layout kept`, {
			timeout: long ? 3_600_000 : 60_000,
		}, () => {
			for (let seed = from; seed < from + chunk; seed++) expectEqualToCounting(seed);
		});
	}

	it('met ties, impossible problems, locked adjusters, constraints and settings off the grid among them', () => {
		expect(met.tied).toBeGreaterThan(30);
		expect(met.impossible).toBeGreaterThan(5);
		expect(met.locked).toBeGreaterThan(50);
		expect(met.offGrid).toBeGreaterThan(50);
		expect(met.limited).toBeGreaterThan(100);
		expect(met.weighted).toBeGreaterThan(100);
		expect(met.layouts).toBeGreaterThan(instances * (long ? 20_000 : 1000));
	});
});

function expectEqualToCounting(seed: number): void {
	const problem = smallInstance(seed, mostLayouts);
	const outcome = chooseSettings(problem);
	const most = Math.min(problem.maxTouches, problem.variables.length);
	const { best, counted, tied } = bestByCounting(problem, most);
	met.layouts += counted;
	if (best[most]!.length === 0) met.impossible++;
	if (problem.variables.some((variable) => variable.allowed.length === 0)) met.locked++;
	if (problem.variables.some(({ allowed, current }) => !allowed.includes(current))) met.offGrid++;
	if (problem.constraints.length > 0) met.limited++;
	if (problem.objective === 'weighted-squares') met.weighted++;
	if (tied) met.tied++;

	expect(outcome.proved).toBe(true);
	expect(outcome.byTouches.map((answer) => answer.touches)).toEqual(best.map((_, touches) => touches));
	for (const answer of outcome.byTouches) {
		const expected = best[answer.touches]!;
		const place = `seed ${seed}, ${answer.touches} touches`;
		if (answer.state === 'none') {
			expect(expected, place).toEqual([]);
			continue;
		}
		const found = answer.layouts.map((layout) => layout.settings);
		expect(found, place).toEqual(expected.map((layout) => layout.settings));
		// A few dozen squares of size up to 1e4 summed in another order: rounding stays far below 1e-11 of the value.
		answer.layouts.forEach((layout, i) => {
			expect(Math.abs(layout.value - expected[i]!.value), place).toBeLessThanOrEqual(1e-11 * (1 + expected[i]!.value));
			expect(layout.touches, place).toBe(expected[i]!.touches);
			expect(layout.mass, place).toBeCloseTo(expected[i]!.mass, 9);
			expect(layout.effort, place).toBe(expected[i]!.effort);
		});
		expect(answer.gap, place).toBe(0);
	}
}
