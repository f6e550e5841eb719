import { describe, expect, it } from 'vitest';
import { chooseSettings } from '../src/balance/choice/choose-settings.js';
import { bestOf, everyLayout, smallInstance } from './choice-instances.js';

// `CHOICE_LONG=1 npx vitest run test/choice-exact.test.ts` walks 1000 instances of up to 10⁶ layouts.
const long = process.env.CHOICE_LONG === '1';
const instances = long ? 1000 : 500;
const mostLayouts = long ? 1e6 : 4e3;
const chunk = 50;

describe('chooseSettings(problem) equals counting through every layout', () => {
	for (let from = 1; from <= instances; from += chunk) {
		it(`on the invented instances ${from} to ${from + chunk - 1}, for every number of touches and every layout kept`, {
			timeout: long ? 600_000 : 20_000,
		}, () => {
			for (let seed = from; seed < from + chunk; seed++) expectEqualToCounting(seed);
		});
	}

	it('meets among its instances ties, impossible ones, locked adjusters, binding stock and settings off the grid', () => {
		const seeds = Array.from({ length: 500 }, (_, i) => i + 1);
		const problems = seeds.map((seed) => smallInstance(seed, 300));
		const lists = problems.map(everyLayout);
		const tied = lists.filter((list) => {
			const [first, second] = bestOf(list, 2);
			return second !== undefined && second.value <= first!.value * (1 + 1e-9);
		});
		expect(tied.length).toBeGreaterThan(20);
		expect(lists.filter((list) => list.length === 0).length).toBeGreaterThan(5);
		expect(problems.filter((p) => p.variables.some((v) => v.allowed.length === 0)).length).toBeGreaterThan(20);
		expect(problems.filter((p) => p.variables.some((v) => !v.allowed.includes(v.current))).length).toBeGreaterThan(20);
		expect(problems.filter((p) => p.constraints.length > 0).length).toBeGreaterThan(100);
	});
});

function expectEqualToCounting(seed: number): void {
	const problem = smallInstance(seed, mostLayouts);
	const outcome = chooseSettings(problem);
	const every = everyLayout(problem);
	const most = Math.min(problem.maxTouches, problem.variables.length);
	expect(outcome.proved).toBe(true);
	expect(outcome.byTouches.map((answer) => answer.touches)).toEqual(Array.from({ length: most + 1 }, (_, t) => t));
	for (const answer of outcome.byTouches) {
		const expected = bestOf(
			every.filter((layout) => layout.touches <= answer.touches),
			problem.keepBest ?? 1,
		);
		const place = `seed ${seed}, ${answer.touches} touches`;
		if (answer.state === 'none') {
			expect(expected, place).toEqual([]);
			continue;
		}
		expect(
			answer.layouts.map((layout) => layout.settings),
			place,
		).toEqual(expected.map((layout) => layout.settings));
		// Sums of at most 60 squares near 100, in another order: 1e-12 of the size is ample for rounding.
		answer.layouts.forEach((layout, i) => {
			expect(Math.abs(layout.value - expected[i]!.value), place).toBeLessThanOrEqual(1e-11 * (1 + expected[i]!.value));
			expect(layout.touches, place).toBe(expected[i]!.touches);
			expect(layout.mass, place).toBeCloseTo(expected[i]!.mass, 9);
			expect(layout.effort, place).toBe(expected[i]!.effort);
		});
		expect(answer.gap, place).toBe(0);
	}
}
