import { describe, expect, it } from 'vitest';
import { adjudicate, assessTrace, type Evidence, type Limits, type Line } from '../src/exceedance/index.js';
import { chartValue, type GridChart, judgeHold, marginOf } from '../src/power/index.js';
import { respond, timeMovement } from '../src/transition/index.js';
import { okValue } from './published-vectors.js';

/** Whatever data or crew can get wrong has a code, what was found and what is needed. Invented figures. */

const chart: GridChart = {
	kind: 'grid',
	result: { id: 'totC', sense: 'max' },
	axes: [
		{ id: 'torquePct', values: [50, 100] },
		{ id: 'oatC', values: [-20, 40] },
	],
	values: [
		[600, 700],
		[700, 800],
	],
	interpolation: 'linear',
};
const never: Line = { id: 'a', above: 100, maxSeconds: 0, reference: 'invented' };
const limits: Limits = { parameters: [{ id: 'torquePct', unit: '%', lines: [never] }] };
const rows = (times: readonly number[]) => times.map((t) => [t, [90]] as const);

describe('coded problems', () => {
	it('outside a chart: the value, and the axis with its range', () => {
		expect(chartValue(chart, { torquePct: 80, oatC: 44 })).toEqual({
			ok: false,
			problem: expect.objectContaining({
				code: 'outside-chart',
				found: 44,
				needed: { axis: 'oatC', atLeast: -20, atMost: 40 },
			}),
		});
	});

	it('a missing condition: which one', () => {
		const reading = { observed: 650, conditions: { torquePct: 80 } };
		expect(marginOf(chart, reading)).toMatchObject({
			ok: false,
			problem: { code: 'missing-condition', needed: 'oatC' },
		});
	});

	it('an unsteady hold: which parameter, how far it went, how far it may', () => {
		const timesS = Array.from({ length: 61 }, (_, t) => t);
		const judged = okValue(
			judgeHold(
				{ timesS, columns: { totC: timesS.map((t) => 650 + t / 4) }, confirmed: {} },
				{
					stabiliseS: 20,
					recordS: 20,
					bands: [{ id: 'totC', spanAtMost: 8, slopePerMinuteAtMost: 5 }],
					record: [],
					limits: [],
					periodAtMostS: 2,
					conditions: [{ quantity: 'heaterOff', equals: true }],
				},
			),
		);
		expect(judged.proved).toBe(false);
		expect(judged.because).toEqual([
			{ code: 'span', id: 'totC', found: 10, needed: 8 },
			{ code: 'slope', id: 'totC', found: expect.closeTo(15, 9), needed: 5 },
			{
				code: 'condition-missing',
				id: 'heaterOff',
				found: null,
				needed: { quantity: 'heaterOff', equals: true },
			},
		]);
	});

	it('contradictory evidence: which two, what each says, and the union governs', () => {
		const trace: Evidence = { kind: 'trace', id: 'download', peak: [101, 102], durationS: [1, 2] };
		const pilot: Evidence = {
			kind: 'witness',
			id: 'pilot',
			highestSure: 104,
			highestPossible: 105,
			atLeastS: 4,
			atMostS: 5,
			askedAlone: true,
		};
		const found = okValue(adjudicate({ ...never, maxSeconds: 3 }, [trace, pilot]));
		expect(found.contradictions.map(({ quantity, first, second }) => [quantity, first.id, second.id])).toEqual([
			['peak', 'download', 'pilot'],
			['duration', 'download', 'pilot'],
		]);
		expect(found.contradictions[0]?.first.range).toEqual([101, 102]);
		expect(found.contradictions[0]?.second.range[0]).toBe(104);
		expect(found.peak[0]).toBeLessThanOrEqual(102);
		expect(found.peak[1] === null || found.peak[1] >= 104).toBe(true);
		expect(found.verdict).toBe('possible');
	});

	const clocks = [
		['a clock that runs backwards', 'clock-backwards', [0, 1, 0.5], 0.5],
		['a time stamp given twice', 'duplicate-time', [0, 1, 1], 1],
	] as const;
	it.each(clocks)('%s is refused by traces, holds, transitions and responses alike', (_, code, times, found) => {
		const problem = { code, found, path: 'row 3', needed: 'above 1' };
		expect(assessTrace(limits, ['torquePct'], rows(times))).toEqual({ ok: false, problem });
		const samples = times.map((timeS) => ({ timeS, value: 20 }));
		const own = { code, found, path: '$.samples[2]', needed: 'above 1' };
		expect(timeMovement(samples)).toMatchObject({ ok: false, problem: own });
		expect(respond(samples, { beginS: 0, endS: 1 })).toMatchObject({ ok: false, problem: own });
		const rule = { stabiliseS: 1, recordS: 1, bands: [], record: [], limits: [], periodAtMostS: 2, conditions: [] };
		expect(judgeHold({ timesS: times, columns: {}, confirmed: {} }, rule)).toMatchObject({
			ok: false,
			problem: { code, found: String(found), needed: 'more than 1', path: '$.timesS[2]' },
		});
	});

	it('units missing: which parameter, and that its unit is needed; the trace is judged all the same', () => {
		const { unit: _, ...bare } = limits.parameters[0] as Limits['parameters'][number];
		const { assumptions } = okValue(assessTrace({ parameters: [bare] }, ['torquePct'], rows([0, 1])));
		expect(assumptions).toContainEqual(
			expect.objectContaining({ code: 'unit-missing', parameter: 'torquePct', found: null, needed: 'unit' }),
		);
		const { assumptions: known } = okValue(assessTrace(limits, ['torquePct'], rows([0, 1])));
		expect(known.map(({ code }) => code)).not.toContain('unit-missing');
	});
});
