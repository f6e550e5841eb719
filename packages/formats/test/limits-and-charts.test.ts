import type { Result } from '@stillmast/core/result';
import { describe, expect, it } from 'vitest';
import { readChart, readPowerReading } from '../src/chart/index.js';
import { readLimits } from '../src/limits/index.js';

/** Invented numbers, in the shape of the contract's examples. */
const limits = {
	format: 'stillmast/limits@1',
	parameters: [
		{
			id: 'torquePct',
			unit: '%',
			slewPerSecond: 80,
			lines: [
				{ id: 'continuous', above: 92.7, maxSeconds: 0, when: { iasKt: { atLeast: 40 } }, reference: 'ref 1' },
				{ id: 'transient', above: 104, maxSeconds: 5, reference: 'ref 2' },
			],
		},
		{ id: 'iasKt' },
	],
};
const grid = {
	format: 'stillmast/chart@1',
	kind: 'grid',
	result: { id: 'totLimitC', sense: 'max' },
	axes: [
		{ id: 'pressureAltitudeFt', values: [0, 2000, 4000] },
		{ id: 'oatC', values: [-20, 0, 20] },
	],
	values: [
		[680, 700, 720],
		[690, 710, 730],
		[700, 720, 740],
	],
	interpolation: 'linear',
};
const chain = {
	format: 'stillmast/chart@1',
	kind: 'chain',
	result: { id: 's2', sense: 'min' },
	stages: [
		{
			in: 'oatC',
			family: 'pressureAltitudeFt',
			out: 's1',
			curves: [
				{
					family: 0,
					points: [
						[-20, 1.2],
						[0, 1.4],
					],
				},
			],
		},
		{
			in: 's1',
			family: 'torquePct',
			out: 's2',
			curves: [
				{
					family: 50,
					points: [
						[1, 600],
						[2, 700],
					],
				},
			],
		},
	],
};
const outcome = (read: Result<unknown>) => (read.ok ? 'ok' : { code: read.problem.code, path: read.problem.path });
const edited = (value: unknown, edit: (copy: never) => void): unknown => {
	const copy = structuredClone(value);
	edit(copy as never);
	return copy;
};

describe('readLimits(value)', () => {
	const line = (extra: object) =>
		edited(limits, (copy: typeof limits) => Object.assign(copy.parameters[0]?.lines?.[1] ?? {}, extra));

	it('returns the contract’s example', () => {
		expect(readLimits(limits)).toEqual({ ok: true, value: limits });
	});

	it.each([
		[{ below: 3 }, 'not-allowed', '$.parameters[0].lines[1]'],
		[{ above: undefined }, 'not-allowed', '$.parameters[0].lines[1]'],
		[{ above: undefined, between: [3, 2] }, 'not-allowed', '$.parameters[0].lines[1].between'],
		[{ id: 'continuous' }, 'not-allowed', '$.parameters[0].lines[1].id'],
		[{ maxSeconds: -1 }, 'not-allowed', '$.parameters[0].lines[1].maxSeconds'],
		[{ reference: undefined }, 'missing-field', '$.parameters[0].lines[1].reference'],
		[{ when: { iasKt: { over: 3 } } }, 'unknown-field', '$.parameters[0].lines[1].when.iasKt.over'],
		[
			{
				above: undefined,
				aboveByTable: {
					parameter: 'oatC',
					points: [
						[0, 1],
						[0, 2],
					],
				},
			},
			'not-allowed',
			'$.parameters[0].lines[1].aboveByTable.points[1][0]',
		],
	])('refuses a line with %j', (extra, code, path) => {
		expect(outcome(readLimits(JSON.parse(JSON.stringify(line(extra)))))).toEqual({ code, path });
	});

	it('refuses a parameter that stands twice', () => {
		const twice = edited(limits, (copy: typeof limits) => copy.parameters.push({ id: 'iasKt' }));
		expect(outcome(readLimits(twice))).toEqual({ code: 'not-allowed', path: '$.parameters[2].id' });
	});
});

describe('readChart(value)', () => {
	it('returns a grid and a chain', () => {
		expect(readChart(grid)).toEqual({ ok: true, value: grid });
		expect(readChart(chain)).toEqual({ ok: true, value: chain });
	});

	it.each([
		['a row too short', edited(grid, (copy: typeof grid) => copy.values[1]?.pop()), '$.values[1]'],
		['a row too many', edited(grid, (copy: typeof grid) => copy.values.push([1, 2, 3])), '$.values'],
		['a cell that is no number', JSON.parse(JSON.stringify(grid).replace('730', '"730"')), '$.values[1][2]'],
		['an axis that falls', edited(grid, (copy: typeof grid) => copy.axes[0]?.values.reverse()), '$.axes[0].values[1]'],
		['an unknown kind', { ...grid, kind: 'map' }, '$.kind'],
		['a chain that ends elsewhere', { ...chain, result: { id: 's3', sense: 'min' } }, '$.stages[1].out'],
		[
			'a curve that falls',
			JSON.parse(JSON.stringify(chain).replace('[[-20,1.2],[0,1.4]]', '[[0,1.2],[-20,1.4]]')),
			'$.stages[0].curves[0].points[1]',
		],
	])('refuses %s', (_title, value, path) => {
		expect(outcome(readChart(value))).toMatchObject({ path });
	});
});

describe('readPowerReading(value)', () => {
	const reading = { format: 'stillmast/power-reading@1', observed: 691, conditions: { oatC: -5 }, sd: { observed: 3 } };

	it('accepts one observed value, or one for each chart', () => {
		expect(readPowerReading(reading).ok).toBe(true);
		expect(readPowerReading({ ...reading, observed: { totLimitC: 691, ngPct: 95 } }).ok).toBe(true);
	});

	it('refuses a condition that is no number, with its path', () => {
		expect(outcome(readPowerReading({ ...reading, conditions: { oatC: '-5' } }))).toEqual({
			code: 'wrong-type',
			path: '$.conditions.oatC',
		});
	});
});
