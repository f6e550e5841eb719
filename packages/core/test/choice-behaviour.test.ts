import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { asChoice, discreteRotor } from '../bench/balance/discrete-rotor.js';
import { chooseSettings } from '../src/balance/choice/choose-settings.js';
import type { ChoiceForTouches, ChoiceProblem, ChoiceProgress, ChoiceVariable } from '../src/balance/choice/types.js';
import { layoutValue, seededRandom, smallInstance } from './choice-instances.js';

const seeds = fc.integer({ min: 1, max: 1_000_000 });
const runs = { numRuns: 60, seed: 20 };

function variable(id: string, allowed: readonly number[], more: Partial<ChoiceVariable> = {}): ChoiceVariable {
	return { id, kind: 'mass', current: 0, allowed, effort: 1, mass: 1, ...more };
}

function valueOfAnswer(answer: ChoiceForTouches): number {
	return answer.state === 'found' ? answer.best.value : Number.POSITIVE_INFINITY;
}

/** Five blades, thirteen adjusters: too much for a short budget. */
const hard = { ...asChoice(discreteRotor(5, seededRandom(3)), 13), touchCounts: [0, 1, 2, 5, 13] };

describe('chooseSettings(problem) breaks ties by least mass, then least effort, then the lowest settings', () => {
	const cancelling: ChoiceProblem = {
		terms: [
			{
				id: 'k',
				rows: [
					[1, 0, -1, 0],
					[0, 1, 0, -1],
				],
				offset: [-2, 0],
			},
		],
		variables: [0, 90, 180, 270].map((deg) => variable(`${deg}`, [0, 1, 2, 3])),
		constraints: [],
		maxTouches: 4,
		objective: 'worst',
	};

	it('takes opposite mass off: all-round mass changes nothing and is never added', () => {
		expect(chooseSettings(cancelling).byTouches.at(-1)).toMatchObject({
			best: { settings: [2, 0, 0, 0], value: 0, mass: 2, touches: 1 },
		});
	});

	it('takes off the all-round mass it finds on the rotor, when touching more is allowed', () => {
		const found = { ...cancelling, variables: cancelling.variables.map((v) => ({ ...v, current: 1 })) };
		expect(chooseSettings(found).byTouches.at(-1)).toMatchObject({ best: { settings: [2, 0, 0, 0], touches: 4 } });
		expect(chooseSettings(found).byTouches[2]).toMatchObject({ best: { settings: [2, 1, 0, 1], touches: 2 } });
	});

	it('prefers the adjuster with less effort at equal mass, and the lower settings at equal effort', () => {
		const pair = (effort: number): ChoiceProblem => ({
			...cancelling,
			terms: [{ id: 'k', rows: [[1, 1]], offset: [-1] }],
			variables: [variable('a', [0, 1], { effort }), variable('b', [0, 1])],
			maxTouches: 2,
		});
		expect(chooseSettings(pair(0.5)).byTouches[1]).toMatchObject({ best: { settings: [1, 0] } });
		expect(chooseSettings(pair(1)).byTouches[1]).toMatchObject({ best: { settings: [0, 1] } });
		expect(chooseSettings(pair(2)).byTouches[1]).toMatchObject({ best: { settings: [0, 1] } });
	});
});

describe('chooseSettings(problem) keeps to what is allowed', () => {
	it('two blades: an error across the line of the points stays, and what lies along it is corrected', () => {
		const twoBlades: ChoiceProblem = {
			terms: [
				{
					id: 'k',
					rows: [
						[0.1, -0.1],
						[0, 0],
					],
					offset: [-0.52, 0.3],
				},
			],
			variables: [variable('a', [0, 1, 2, 3, 4, 5, 6]), variable('b', [0, 1, 2, 3, 4, 5, 6])],
			constraints: [],
			maxTouches: 2,
			objective: 'worst',
		};
		const answer = chooseSettings(twoBlades).byTouches[2]!;
		expect(answer).toMatchObject({ best: { settings: [5, 0], touches: 1 }, proved: true });
		// 0.02² + 0.3² by hand.
		expect(valueOfAnswer(answer)).toBeCloseTo(0.0904, 12);
	});

	it('locked adjusters stay as found, also off the grid and with no setting allowed', () => {
		const outcome = chooseSettings({
			terms: [{ id: 'k', rows: [[1, 1, 1]], offset: [-9] }],
			variables: [variable('a', [], { current: 0.3 }), variable('b', [2], { current: 2 }), variable('c', [0, 3, 6])],
			constraints: [],
			maxTouches: 3,
			objective: 'worst',
		});
		expect(outcome.byTouches.at(-1)).toMatchObject({ best: { settings: [0.3, 2, 6] } });
	});

	it('stock binds over the sum of what is on the rotor', () => {
		const withStock = (atMost: number) =>
			chooseSettings({
				terms: [{ id: 'k', rows: [[1, 2]], offset: [-20] }],
				variables: [variable('a', [0, 1, 2, 3, 4, 5]), variable('b', [0, 1, 2, 3, 4, 5])],
				constraints: [{ coefficients: [1, 1], atMost }],
				maxTouches: 2,
				objective: 'worst',
			}).byTouches.at(-1);
		expect(withStock(20)).toMatchObject({ best: { settings: [5, 5] } });
		expect(withStock(7)).toMatchObject({ best: { settings: [2, 5] } });
	});

	it('says that nothing is possible instead of returning a layout', () => {
		const impossible = chooseSettings({
			terms: [{ id: 'k', rows: [[1]], offset: [0] }],
			variables: [variable('a', [2, 3], { current: 2 })],
			constraints: [{ coefficients: [1], atMost: 1 }],
			maxTouches: 1,
			objective: 'worst',
		});
		expect(impossible.proved).toBe(true);
		for (const answer of impossible.byTouches) {
			expect(answer).toMatchObject({ state: 'none', proved: true, lowerBound: Number.POSITIVE_INFINITY });
		}
	});

	it('a problem without variables has the one layout', () => {
		const empty: ChoiceProblem = {
			terms: [{ id: 'k', rows: [[]], offset: [3] }],
			variables: [],
			constraints: [],
			maxTouches: 2,
			objective: 'worst',
		};
		expect(chooseSettings(empty).byTouches).toMatchObject([
			{ touches: 0, best: { settings: [], value: 9 }, proved: true },
		]);
	});
});

describe('chooseSettings(problem) as properties of invented instances', () => {
	it('more touches never do worse, and no answer touches more than its number', () => {
		fc.assert(
			fc.property(seeds, (seed) => {
				const { byTouches } = chooseSettings(smallInstance(seed, 2000));
				byTouches.forEach((answer, i) => {
					if (i > 0) expect(valueOfAnswer(answer)).toBeLessThanOrEqual(valueOfAnswer(byTouches[i - 1]!) * (1 + 1e-9));
					if (answer.state === 'found') expect(answer.best.touches).toBeLessThanOrEqual(answer.touches);
				});
			}),
			runs,
		);
	});

	it('the value it states is the value of its settings by the definition', () => {
		fc.assert(
			fc.property(seeds, (seed) => {
				const problem = smallInstance(seed, 1e6);
				for (const answer of chooseSettings(problem).byTouches) {
					if (answer.state !== 'found') continue;
					const { settings, value } = answer.best;
					// The same sums in another order: 1e-11 of the value is far above rounding.
					expect(Math.abs(layoutValue(problem, settings) - value)).toBeLessThanOrEqual(1e-11 * (1 + value));
				}
			}),
			runs,
		);
	});

	it('doubling every row and offset multiplies every value by four and moves no setting', () => {
		fc.assert(
			fc.property(seeds, (seed) => {
				const problem = smallInstance(seed, 2000);
				const terms = problem.terms.map((term) => ({
					...term,
					rows: term.rows.map((row) => row.map((value) => 2 * value)),
					offset: term.offset.map((value) => 2 * value),
				}));
				const plain = chooseSettings(problem).byTouches;
				chooseSettings({ ...problem, terms }).byTouches.forEach((answer, i) => {
					expect(answer.state).toBe(plain[i]!.state);
					if (answer.state !== 'found') return;
					expect(answer.best.settings).toEqual((plain[i] as typeof answer).best.settings);
					expect(answer.best.value).toBeCloseTo(4 * valueOfAnswer(plain[i]!), 8);
				});
			}),
			runs,
		);
	});

	it('asking for one number of touches gives the same as asking for all', () => {
		fc.assert(
			fc.property(seeds, (seed) => {
				const problem = smallInstance(seed, 2000);
				for (const answer of chooseSettings(problem).byTouches) {
					const [alone] = chooseSettings({ ...problem, touchCounts: [answer.touches] }).byTouches;
					expect(alone).toMatchObject({ ...answer, nodes: expect.any(Number) });
				}
			}),
			runs,
		);
	});
});

describe('chooseSettings(problem, options) answers at any time', () => {
	it('a node limit ends it with a layout, a bound that holds and the gap between them', () => {
		const exact = chooseSettings({ ...hard, touchCounts: [5] }).byTouches[0]!;
		const early = chooseSettings({ ...hard, touchCounts: [5] }, { nodeLimit: 600 }).byTouches[0]!;
		if (early.state !== 'found' || exact.state !== 'found') throw new Error('nothing found');
		expect(exact.proved).toBe(true);
		expect(early.proved).toBe(false);
		expect(early.best.value).toBeGreaterThanOrEqual(exact.best.value);
		expect(early.lowerBound).toBeGreaterThan(0);
		expect(early.lowerBound).toBeLessThanOrEqual(exact.best.value);
		expect(early.gap).toBeCloseTo(1 - early.lowerBound / early.best.value, 12);
	});

	it('every number of touches has a first answer before any is searched to its end', () => {
		const { byTouches } = chooseSettings(hard, { nodeLimit: 12_000 });
		expect(byTouches.map((answer) => answer.state)).toEqual(['found', 'found', 'found', 'found', 'found']);
		expect(byTouches.at(-1)!.proved).toBe(false);
	});

	it('stop() and the time budget end it; the clock is the one passed in', () => {
		let asked = 0;
		const stopped = chooseSettings(hard, { stop: () => ++asked > 40 });
		expect(stopped.proved).toBe(false);
		let nowMs = 1000;
		const timed = chooseSettings(hard, { nowMs: () => (nowMs += 1), budgetMs: 30 });
		expect(timed.proved).toBe(false);
		expect(nowMs).toBeLessThan(1040);
		expect(chooseSettings(hard, { stop: () => true }).byTouches[0]).toMatchObject({ state: 'none', proved: false });
	});

	it('onProgress tells each improvement and each closed number, values only falling', () => {
		const told: ChoiceProgress[] = [];
		const outcome = chooseSettings({ ...hard, touchCounts: [3] }, { onProgress: (progress) => told.push(progress) });
		expect(told.length).toBeGreaterThan(1);
		told.forEach((progress, i) => {
			if (i > 0) expect(progress.value).toBeLessThanOrEqual(told[i - 1]!.value);
		});
		expect(told.at(-1)).toMatchObject({ touches: 3, proved: true, value: valueOfAnswer(outcome.byTouches[0]!) });
	});

	it('two runs agree in every figure', () => {
		expect(chooseSettings(hard, { nodeLimit: 30_000 })).toEqual(chooseSettings(hard, { nodeLimit: 30_000 }));
	});
});

describe('chooseSettings(problem) throws on what only a programmer can get wrong', () => {
	const fine: ChoiceProblem = {
		terms: [{ id: 'k', rows: [[1]], offset: [1] }],
		variables: [variable('a', [0, 1])],
		constraints: [{ coefficients: [1], atMost: 1 }],
		maxTouches: 1,
		objective: 'worst',
	};
	const wrong: readonly [string, RegExp, ChoiceProblem][] = [
		['no term', /terms/, { ...fine, terms: [] }],
		['NaN in a row', /terms\[0\]\.rows/, { ...fine, terms: [{ id: 'k', rows: [[Number.NaN]], offset: [1] }] }],
		['a row too long', /2 numbers for 1/, { ...fine, terms: [{ id: 'k', rows: [[1, 2]], offset: [1] }] }],
		['an offset too short', /differ in length/, { ...fine, terms: [{ id: 'k', rows: [[1]], offset: [] }] }],
		['a negative weight', /weight/, { ...fine, terms: [{ id: 'k', rows: [[1]], offset: [1], weight: -1 }] }],
		['settings out of order', /ascend/, { ...fine, variables: [variable('a', [1, 0])] }],
		['an infinite setting', /allowed/, { ...fine, variables: [variable('a', [0, Number.POSITIVE_INFINITY])] }],
		['a current that is not finite', /current/, { ...fine, variables: [variable('a', [0], { current: Number.NaN })] }],
		['negative effort', /effort/, { ...fine, variables: [variable('a', [0], { effort: -1 })] }],
		['infinite mass', /mass/, { ...fine, variables: [variable('a', [0], { mass: Number.POSITIVE_INFINITY })] }],
		['a constraint too short', /coefficients/, { ...fine, constraints: [{ coefficients: [], atMost: 1 }] }],
		[
			'an infinite limit',
			/atMost/,
			{ ...fine, constraints: [{ coefficients: [1], atMost: Number.POSITIVE_INFINITY }] },
		],
		['touches below 0', /maxTouches/, { ...fine, maxTouches: -1 }],
		['keepBest of 0', /keepBest/, { ...fine, keepBest: 0 }],
		['a count over the most', /touchCounts/, { ...fine, touchCounts: [2] }],
	];
	for (const [name, message, problem] of wrong) {
		it(name, () => {
			expect(() => chooseSettings(problem)).toThrow(message);
			expect(() => chooseSettings(problem)).toThrow(RangeError);
		});
	}

	it('a time budget without a clock', () => {
		expect(() => chooseSettings(fine, { budgetMs: 5 })).toThrow(/nowMs/);
	});
});
