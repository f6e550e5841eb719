import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { marginVerb } from '../src/margin/verb.js';
import { UsageError } from '../src/verb.js';
import { testIo } from './test-io.js';

/** Invented numbers: the contract's own example. */
const chart = {
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
const reading = {
	format: 'stillmast/power-reading@1',
	observed: 691,
	conditions: { pressureAltitudeFt: 1200, oatC: -5 },
	sd: { observed: 3, oatC: 1 },
};
const gasGenerator = { ...chart, result: { id: 'gasGeneratorPct', sense: 'max', unit: '%' } };
const both = { ...reading, observed: { totLimitC: 691, gasGeneratorPct: 702 }, sd: { totLimitC: 3, oatC: 1 } };

let folder = '';
const file = (name: string, content: unknown): string => {
	const path = join(folder, name);
	writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content));
	return path;
};
beforeAll(() => {
	folder = mkdtempSync(join(tmpdir(), 'stillmast-margin-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function margin(args: readonly string[], input: readonly string[] = []) {
	const { io, said } = testIo(input);
	const status = await marginVerb.run(args, io);
	return { status, ...said };
}

describe('stillmast margin CHART... READING', () => {
	it('--json prints limit, margin, scatter, chance, verdict and side', async () => {
		const { status, out, err } = await margin([file('chart.json', chart), file('reading.json', reading), '--json']);
		const answer = JSON.parse(out);
		// By hand: 680 + 6 for 1200 ft + 15 for −5 °C; the slope is 1 per °C, so √(3² + 1²).
		expect(answer).toMatchObject({
			format: 'stillmast/margin@1',
			verdict: 'meets',
			side: 'inside',
			dominant: 'observed',
		});
		expect(answer.limit).toBeCloseTo(701, 9);
		expect(answer.margin).toBeCloseTo(10, 9);
		expect(answer.marginSd).toBeCloseTo(Math.sqrt(10), 6);
		expect(answer.chancePositive).toBeCloseTo(0.999217, 5);
		expect({ status, err }).toEqual({ status: 0, err: '' });
	});

	it('tells people the working and defers to licensed staff', async () => {
		const { out } = await margin([file('chart.json', chart), file('reading.json', reading)]);
		for (const part of ['inside, surely', 'pressureAltitudeFt 1200', 'over 99 %', 'licensed staff govern']) {
			expect(out).toContain(part);
		}
	});

	it('tells each of several charts and leads with the one that governs', async () => {
		const files = [file('chart.json', chart), file('ng.json', gasGenerator), file('both.json', both)];
		const { out, status } = await margin([...files, '--json', '--fail-outside']);
		const answer = JSON.parse(out);
		expect(answer).toMatchObject({ result: 'gasGeneratorPct', governing: 'gasGeneratorPct', side: 'outside' });
		expect(answer.charts.map((one: { result: string }) => one.result)).toEqual(['totLimitC', 'gasGeneratorPct']);
		expect(status).toBe(1);
	});

	it('refuses what lies beyond the chart, naming axis and range, with status 2', async () => {
		const beyond = { ...reading, conditions: { pressureAltitudeFt: 1200, oatC: -25 } };
		const { out, err, status } = await margin([file('chart.json', chart), file('beyond.json', beyond), '--json']);
		expect(JSON.parse(out).error).toMatchObject({
			code: 'outside-chart',
			found: -25,
			needed: { axis: 'oatC', atLeast: -20, atMost: 20 },
		});
		expect(err).toContain('needed oatC from -20 to 20');
		expect(status).toBe(2);
	});

	it('names the file and the place of a wrong document', async () => {
		const broken = file('broken.json', { ...chart, interpolation: 'spline' });
		const { err, status } = await margin([broken, file('reading.json', reading)]);
		expect(err).toContain(`${broken}: $.interpolation`);
		expect(status).toBe(2);
	});

	it('needs a chart and a reading', async () => {
		await expect(margin(['reading.json'])).rejects.toThrow(UsageError);
	});
});

describe('stillmast margin --ndjson', () => {
	it('answers a line for each reading, a bad one with its error, and goes on', async () => {
		const lines = [reading, { ...reading, observed: 'hot' }, reading].map((one) => JSON.stringify(one)).join('\n');
		const { out, status } = await margin([file('chart.json', chart), '--ndjson'], [lines]);
		const answers = out
			.trim()
			.split('\n')
			.map((line) => JSON.parse(line));
		expect(answers.map((answer) => answer.verdict ?? answer.error.line)).toEqual(['meets', 2, 'meets']);
		expect(status).toBe(0);
	});

	it('takes charts from the line where none is given, and places a fault within it', async () => {
		const lines = [
			{ charts: [chart, gasGenerator], reading: both },
			{ chart, reading: { ...reading, conditions: { pressureAltitudeFt: 1200 } } },
			{ reading },
		];
		const { out, status } = await margin(
			['--ndjson', '--fail-outside'],
			[lines.map((l) => JSON.stringify(l)).join('\n')],
		);
		const [first, second, third] = out
			.trim()
			.split('\n')
			.map((line) => JSON.parse(line));
		expect(first.governing).toBe('gasGeneratorPct');
		expect(second.error).toMatchObject({ code: 'missing-condition', path: "$.reading.conditions['oatC']", line: 2 });
		expect(third.error.code).toBe('missing-field');
		expect(status).toBe(1);
	});
});

describe('stillmast margin CHART --draw', () => {
	it('[PWR-16] draws each line of a chart as it was understood', async () => {
		const { out, status } = await margin([file('chart.json', chart), '--draw']);
		expect(out.match(/<polyline/g)).toHaveLength(3);
		expect(out).toContain('totLimitC over oatC, lines: pressureAltitudeFt');
		expect(status).toBe(0);
		expect((await margin([file('bad.json', { ...chart, values: [] }), '--draw'])).status).toBe(2);
	});
});
