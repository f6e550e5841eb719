import { describe, expect, it } from 'vitest';
import { campaign } from '../bench/balance/campaign.js';
import { drawMistake } from '../bench/balance/mistakes.js';
import { SHAPES } from '../bench/balance/rotor-shape.js';
import { seeded } from '../bench/balance/seeded.js';
import { drawRotor, fly, levelsAt, polar, problemOf } from '../bench/balance/simulated-rotor.js';
import { groupedShare, meanOf, quantile, shareOf } from '../bench/balance/statistics.js';
import { answered, ORACLE } from '../bench/balance/strategies.js';
import { solveRotor } from '../src/balance/index.js';

const RIGHT_TABLE = { gainSd: 0, phaseSdDeg: 0, statedShare: 1, remainderSdIps: 0, defectIps: 0 };
const WRONG_TABLE = { gainSd: 0.3, phaseSdDeg: 30, statedShare: 1, remainderSdIps: 0.01, defectIps: 0 };

describe('shareOf(hits, of) gives the 95 % interval by Wilson’s score', () => {
	// R. G. Newcombe, Two-sided confidence intervals for the single proportion, Statistics in Medicine 17, 1998, table I,
	// method 3; basis: from memory, recomputed from Wilson's formula with z = 1.95996. Printed to four digits.
	for (const [hits, of, low, high] of [
		[81, 263, 0.2553, 0.3662],
		[15, 148, 0.0624, 0.1605],
		[0, 20, 0, 0.1611],
		[1, 29, 0.0061, 0.1718],
	] as const) {
		it(`${hits} of ${of} is ${low} to ${high}`, () => {
			const share = shareOf(hits, of);
			// Half a printed digit and the 1.96 in place of 1.95996.
			expect(Math.abs(share.low95 - low)).toBeLessThan(1e-4);
			expect(Math.abs(share.high95 - high)).toBeLessThan(1e-4);
		});
	}
});

describe('the bench’s other statistics', () => {
	it('groupedShare(groups) widens when readings of a group go together', () => {
		const alone = groupedShare(Array.from({ length: 100 }, (_, i) => ({ hits: i % 2, of: 1 })));
		const together = groupedShare(Array.from({ length: 10 }, (_, i) => ({ hits: i % 2 === 0 ? 10 : 0, of: 10 })));
		expect(together.share).toBe(alone.share);
		expect(together.high95 - together.low95).toBeGreaterThan(2 * (alone.high95 - alone.low95));
	});

	it('meanOf and quantile by hand', () => {
		const { mean, half95 } = meanOf([1, 2, 3, 4]);
		expect(mean).toBe(2.5);
		expect(half95).toBeCloseTo((1.96 * Math.sqrt(5 / 3)) / 2, 12);
		expect(quantile([4, 1, 3, 2], 0.5)).toBe(2);
		expect(quantile([4, 1, 3, 2], 0.95)).toBe(4);
	});
});

describe('drawRotor(shape, wrongness, random) keeps to the conventions of the contract', () => {
	for (const shape of Object.values(SHAPES)) {
		it(`${shape.id}: with a right table an adjuster acts as the coefficient turned by its pass angle`, () => {
			const rotor = drawRotor(shape, RIGHT_TABLE, seeded(5));
			shape.adjusters.forEach((adjuster, j) => {
				const up = { ...rotor.found, [adjuster.id]: rotor.found[adjuster.id]! + 1 };
				const still = shape.adjusters.map(() => 0);
				const before = levelsAt(rotor, rotor.found, still);
				levelsAt(rotor, up, still).forEach(([re, im], k) => {
					const row = shape.table.find((r) => r.channel === shape.channels[k]!.id && r.kind === adjuster.kind)!;
					const [a, b] = polar(row.amplitudeIpsPerUnit, row.phaseDeg + adjuster.passAngleDeg);
					expect(re - before[k]![0], `${adjuster.id} ${j}`).toBeCloseTo(a, 12);
					expect(im - before[k]![1], `${adjuster.id} ${j}`).toBeCloseTo(b, 12);
				});
			});
		});
	}

	it('the errors it draws have the size that is stated for them', () => {
		const gains = Array.from({ length: 4000 }, (_, seed) => {
			const rotor = drawRotor(SHAPES.tail, WRONG_TABLE, seeded(seed + 1));
			return Math.hypot(...rotor.effect[0]![0]!) / SHAPES.tail.table[0]!.amplitudeIpsPerUnit;
		});
		const { mean, half95 } = meanOf(gains);
		const sd = (half95 * Math.sqrt(gains.length)) / 1.96;
		expect(mean).toBeCloseTo(1, 1);
		// Four thousand draws give the sd to 1.1 %; the floor under the gain takes a little off.
		expect(sd).toBeGreaterThan(0.28);
		expect(sd).toBeLessThan(0.32);
	});
});

describe('campaign(rotor, strategy, random, clock)', () => {
	it('whoever knows the true coefficients is inside after one correction, nearly always', () => {
		const corrections: (number | null)[] = [];
		for (let seed = 1; corrections.length < 40; seed++) {
			const rotor = drawRotor(SHAPES['three-blade'], WRONG_TABLE, seeded(seed));
			const flown = campaign(rotor, ORACLE, seeded(900 + seed), () => 0);
			if (flown !== null) corrections.push(flown.corrections);
		}
		expect(corrections.filter((count) => count === 1).length).toBeGreaterThanOrEqual(36);
		expect(corrections).not.toContain(null);
	});
});

describe('answered(problem, runs), what the learning strategy looks at', () => {
	for (const shape of Object.values(SHAPES)) {
		it(`${shape.id}: proposals, recommendation and flags are those of solveRotor`, () => {
			const rotor = drawRotor(shape, WRONG_TABLE, seeded(11));
			const still = shape.adjusters.map(() => 0);
			const runs = [fly(rotor, 'run 1', rotor.found, levelsAt(rotor, rotor.found, still), seeded(12))];
			const whole = solveRotor(problemOf(rotor, runs));
			if (!whole.ok) throw new Error(whole.problem.code);
			const { proposals, recommended, inspect } = whole.value;
			expect(answered(problemOf(rotor, runs), runs)).toEqual({
				proposals,
				recommended,
				flags: inspect.map(({ code }) => code),
			});
		});
	}
});

describe('drawMistake(rotor, before, recorded, random)', () => {
	it('leaves what truly stands within the adjusters’ ranges, and differs from what is recorded', () => {
		const rotor = drawRotor(SHAPES['five-blade'], WRONG_TABLE, seeded(3));
		const recorded = { ...rotor.found, 'plate-B': rotor.found['plate-B']! + 3, 'tab-C': 1.5, 'link-D': -2 };
		const met = new Set<string>();
		for (let seed = 1; seed <= 300; seed++) {
			const mistake = drawMistake(rotor, rotor.found, recorded, seeded(seed));
			if (mistake === null) continue;
			met.add(mistake.id);
			if (mistake.truly === undefined) continue;
			expect(mistake.truly).not.toEqual(recorded);
			for (const { id, min, max } of rotor.shape.adjusters) {
				expect(mistake.truly[id]).toBeGreaterThanOrEqual(min);
				expect(mistake.truly[id]).toBeLessThanOrEqual(max);
			}
		}
		expect([...met].sort()).toEqual(
			[
				'next-arm',
				'not-made',
				'phase-sense',
				'polarity:lat',
				'polarity:vert',
				'previous-arm',
				'reference-moved',
			].concat(['sign-reversed', 'stations-swapped', 'swapped-arms']),
		);
	});
});
