import { describe, expect, it } from 'vitest';
import { forecastOf, learnRotor, type RotorProblem } from '../src/balance/index.js';
import { allowedSettings } from '../src/balance/propose/allowed.js';
import { choiceProblem } from '../src/balance/propose/choice-problem.js';
import { fitPieces } from '../src/balance/propose/pieces.js';
import { worstSquare } from '../src/balance/propose/proposal.js';
import { contractExample, solved, threeBlades } from './balance-examples.js';
import { seededRandom } from './choice-instances.js';

/** Every point of the example built of the same box of washers. */
function builtOf(problem: RotorProblem, pieces: readonly { id: string; amount: number; stock: number }[]) {
	return {
		...problem,
		stock: {},
		adjusters: problem.adjusters.map((a) => (a.kind === 'plate' ? { ...a, unit: 'g', pieces } : a)),
	};
}

/** All ways to share the box out between the points, one count per piece and point: the sums they make. */
function sumsOfEveryShare(pieces: readonly { amount: number; stock: number }[], points: number): Set<string> {
	const found = new Set<string>();
	const give = (n: number, point: number, left: number, sums: readonly number[]): void => {
		if (n === pieces.length) {
			found.add(sums.map((sum) => sum.toFixed(6)).join());
			return;
		}
		if (point === points) {
			give(n + 1, 0, pieces[n + 1]?.stock ?? 0, sums);
			return;
		}
		for (let used = 0; used <= left; used++) {
			const next = sums.map((sum, i) => (i === point ? sum + used * pieces[n]!.amount : sum));
			give(n, point + 1, left - used, next);
		}
	};
	give(0, 0, pieces[0]!.stock, new Array<number>(points).fill(0));
	return found;
}

describe('solveRotor(problem): a stock of pieces shared by several points', () => {
	const random = seededRandom(5);
	const boxes = Array.from({ length: 12 }, () => [
		{ id: 'thick', amount: 2.5, stock: 1 + Math.floor(2 * random()) },
		{ id: 'thin', amount: 1, stock: Math.floor(4 * random()) },
	]);

	for (const [n, box] of boxes.entries()) {
		const title = box.map(({ id, stock }) => `${stock} ${id}`).join(', ');
		it(`[BAL-10] invented box ${n + 1} (${title}): each proposal is the best that counting through every share finds`, () => {
			const direction = 360 * random();
			const problem = builtOf(
				{
					...contractExample,
					runs: [{ id: 'r1', settings: {}, readings: { 'hover/lat': { amplitudeIps: 0.31, phaseDeg: direction } } }],
				},
				box,
			);
			const choice = choiceProblem(forecastOf(learnRotor(problem)), 0.5, 5);
			const possible = sumsOfEveryShare(box, 3);
			const settings = problem.adjusters.map((a) => allowedSettings(problem, a, 0));
			for (const touches of [1, 2, 3]) {
				let best = worstSquare(choice, [0, 0, 0]);
				for (const a of settings[0]!)
					for (const b of settings[1]!)
						for (const c of settings[2]!) {
							const layout = [a, b, c];
							if (layout.filter((x) => x !== 0).length > touches) continue;
							if (possible.has(layout.map((x) => x.toFixed(6)).join()))
								best = Math.min(best, worstSquare(choice, layout));
						}
				const ours = solved(problem).proposals.filter((p) => p.touches <= touches);
				// same layout, squares summed in another order
				expect(Math.min(...ours.map((p) => p.worstRatioToGoal)) ** 2).toBeCloseTo(best, 9);
				for (const p of ours) {
					expect(p.proved).toBe(true);
					expect(possible).toContain(problem.adjusters.map((a) => p.settings[a.id]!.toFixed(6)).join());
				}
			}
		});
	}

	it('[BAL-10] says what then stands at the point, and no piece stands at two', () => {
		const box = [
			{ id: '2.5 g washer', amount: 2.5, stock: 2 },
			{ id: '1 g washer', amount: 1, stock: 3 },
		];
		const { proposals } = solved(builtOf(threeBlades, box));
		const changed = proposals.filter((p) => p.changes.some((c) => c.pieces !== undefined));
		expect(changed.length).toBeGreaterThan(0);
		for (const { changes } of changed) {
			for (const { id, stock } of box) {
				expect(changes.reduce((sum, c) => sum + (c.pieces?.[id] ?? 0), 0)).toBeLessThanOrEqual(stock);
			}
			for (const { pieces, to, words } of changes) {
				if (pieces === undefined) continue;
				expect(box.reduce((sum, { id, amount }) => sum + amount * (pieces[id] ?? 0), 0)).toBeCloseTo(to, 9);
				expect(words).toContain(', then fitted: ');
			}
		}
	});
});

describe('fitPieces(adjusters, settings)', () => {
	const point = (id: string, pieces: { id: string; amount: number; stock?: number; maxHere?: number }[]) => ({
		...contractExample.adjusters[0]!,
		id,
		pieces,
	});
	const two = [
		{ id: 'a', amount: 2, stock: 1 },
		{ id: 'b', amount: 1, stock: 2 },
	];

	it('takes fewest pieces first, and another way where the box asks for it', () => {
		expect(fitPieces([point('p', two)], [2])).toEqual([{ a: 1 }]);
		expect(fitPieces([point('p', two), point('q', two)], [2, 2])).toEqual([{ a: 1 }, { b: 2 }]);
	});

	it('is null when no way suffices', () => {
		expect(fitPieces([point('p', two), point('q', two)], [2, 3])).toBeNull();
	});

	it('keeps to the most a point takes, and passes over what was found and no piece makes', () => {
		expect(fitPieces([point('p', [{ id: 'b', amount: 1, maxHere: 1 }])], [2])).toEqual([null]);
		expect(fitPieces([point('p', two)], [0.7])).toEqual([null]);
		expect(fitPieces([contractExample.adjusters[0]!], [3])).toEqual([null]);
	});
});
