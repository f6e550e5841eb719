import { describe, expect, it } from 'vitest';
import { adjudicate, type Decision, type Evidence, type Line } from '../src/exceedance/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const never: Line = { id: 'a', above: 92.7, maxSeconds: 0, reference: 'invented' };
const timed: Line = { ...never, maxSeconds: 5 };
const trace: Evidence = { kind: 'trace', id: 'trace', peak: [93, 96], durationS: [3, 6] };
const memory = {
	kind: 'memory',
	id: 'memory',
	peak: 94,
	accuracy: 0.5,
	threshold: 92.7,
	timeBeyondS: 4,
	timeAccuracyS: 0.2,
	clearedBefore: true,
} as const;
const witness = {
	kind: 'witness',
	id: 'pilot',
	highestSure: 93.2,
	highestPossible: 94,
	atLeastS: 1,
	atMostS: 2,
	askedAlone: true,
} as const;
const decision: Decision = {
	by: 'Ada',
	role: 'engineer',
	why: 'download read twice',
	evidence: ['trace'],
	reference: 'manual 5-50',
	durationMostS: 4.5,
};

describe('adjudicate(line, evidence, decisions)', () => {
	it('[EXC-11] the least is the greatest of all, the most the least of what was recorded', () => {
		const found = okValue(adjudicate(timed, [trace, memory, witness]));
		// By hand: peak 94 − 0.5 to 94 + 0.5, time 4 − 0.2 to 4 + 0.2.
		expect(found.peak).toEqual([93.5, 94.5]);
		expect(found.durationS[0]).toBeCloseTo(3.8, 12);
		expect(found.durationS[1]).toBeCloseTo(4.2, 12);
		expect(found).toMatchObject({ verdict: 'within', contradictions: [] });
		expect(okValue(adjudicate(timed, [trace])).verdict).toBe('possible');
	});

	const brief = vectorRow<
		{
			readonly highest_sure: number;
			readonly highest_possible: number;
			readonly at_least_s: number;
			readonly at_most_s: number;
		},
		{ readonly least_peak: number; readonly most_peak: null; readonly most_duration_s: null; readonly verdict: string }
	>('exceedance/limits.json', 'brief-excursion-by-witness');
	it(brief.says('[EXC-11] a witness raises the least and never lowers the most'), () => {
		const { highest_sure, highest_possible, at_least_s, at_most_s } = brief.inputs;
		const seen: Evidence = {
			...witness,
			highestSure: highest_sure,
			highestPossible: highest_possible,
			atLeastS: at_least_s,
			atMostS: at_most_s,
		};
		const found = okValue(adjudicate(never, [seen]));
		expect(found.peak).toEqual([brief.expected.least_peak, brief.expected.most_peak]);
		expect(found.durationS[1]).toBe(brief.expected.most_duration_s);
		expect(found.verdict).toBe(brief.expected.verdict);
		expect(okValue(adjudicate(timed, [seen])).verdict).toBe('possible');
	});

	it('[EXC-11] a memory that may tell of another flight proves nothing, and one without accuracy lowers nothing', () => {
		const open = okValue(adjudicate(never, [{ ...memory, clearedBefore: false }]));
		expect(open.verdict).toBe('possible');
		expect(open.notes).toEqual([{ code: 'not-cleared', id: 'memory' }]);
		const vague = okValue(adjudicate(never, [trace, { ...memory, accuracy: null }]));
		expect(vague.peak).toEqual([93, 96]);
		const otherThreshold = okValue(adjudicate(timed, [{ ...memory, threshold: 90 }]));
		expect(otherThreshold.durationS[0]).toBe(0);
		expect(otherThreshold.durationS[1]).toBeCloseTo(4.2, 12);
	});

	it('[EXC-12] evidence that excludes other evidence is shown, and the union governs', () => {
		const found = okValue(adjudicate(timed, [trace, { ...memory, timeBeyondS: 8 }]));
		expect(found.contradictions).toHaveLength(1);
		expect(found.contradictions[0]).toMatchObject({
			quantity: 'duration',
			first: { id: 'trace' },
			second: { id: 'memory' },
		});
		expect(found.durationS[0]).toBe(3);
		expect(found.durationS[1]).toBeCloseTo(8.2, 12);
		expect(found.verdict).toBe('possible');
	});

	it('[EXC-13] a decision lowers the most, never below the least, and stays with who, why, on what and where', () => {
		const found = okValue(adjudicate(timed, [trace], [decision]));
		expect(found.durationS).toEqual([3, 4.5]);
		expect(found.verdict).toBe('within');
		expect(found.narrowings.at(-1)).toEqual({
			quantity: 'duration',
			from: 6,
			to: 4.5,
			evidence: ['trace'],
			decision: { by: 'Ada', role: 'engineer', why: 'download read twice', reference: 'manual 5-50' },
		});
	});

	it.each([
		[{ ...decision, why: ' ' }, 'decision-incomplete'],
		[{ ...decision, evidence: [] }, 'decision-incomplete'],
		[{ ...decision, evidence: ['rumour'] }, 'unknown-evidence'],
		[{ ...decision, durationMostS: 2 }, 'below-least'],
		[{ ...decision, durationMostS: 7 }, 'not-narrower'],
	])('[EXC-13] %j is refused with %s', (wrong, code) => {
		const result = adjudicate(timed, [trace], [wrong]);
		expect(result.ok ? 'accepted' : result.problem.code).toBe(code);
	});

	it('[EXC-11] for a falling line the peak is the lowest value', () => {
		const low: Line = { id: 'low', below: 95, maxSeconds: 0, reference: 'invented' };
		const found = okValue(
			adjudicate(low, [
				{ ...memory, peak: 92 },
				{ ...witness, highestSure: 93, highestPossible: 91 },
			]),
		);
		expect(found.peak).toEqual([92.5, 91.5]);
		expect(found.verdict).toBe('proved');
	});
});
