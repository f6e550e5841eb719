import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { assessLineVerb, assessVerb } from '../src/assess/verb.js';
import { UsageError } from '../src/verb.js';
import { testIo } from './test-io.js';

/** Invented numbers: the contract's own example. */
const limits = {
	format: 'stillmast/limits@1',
	parameters: [
		{
			id: 'torquePct',
			unit: '%',
			slewPerSecond: 80,
			lines: [
				{ id: 'continuous', above: 92.7, maxSeconds: 0, when: { iasKt: { atLeast: 40 } }, reference: 'manual A' },
				{ id: 'transient', above: 104, maxSeconds: 5, reference: 'manual B' },
			],
		},
	],
};
const trace = (iasKt: number, most: number): string =>
	`timeS,torquePct,iasKt\n${Array.from({ length: 41 }, (_, k) => `${k / 10},${k >= 10 && k < 20 ? most : 90},${iasKt}`).join('\n')}\n`;

let folder = '';
const file = (name: string, content: unknown): string => {
	const path = join(folder, name);
	writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content));
	return path;
};
beforeAll(() => {
	folder = mkdtempSync(join(tmpdir(), 'stillmast-assess-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function assess(args: readonly string[], input: readonly string[] = []) {
	const { io, said } = testIo(input);
	const status = await assessVerb.run(args, io);
	return { status, ...said };
}

describe('stillmast assess --limits LIMITS TRACE', () => {
	it('--json prints the episode with its ranges and the line that governs', async () => {
		const { status, out, err } = await assess([
			'--limits',
			file('limits.json', limits),
			file('fast.csv', trace(60, 93.5)),
			'--json',
		]);
		const answer = JSON.parse(out);
		expect(answer.format).toBe('stillmast/findings@1');
		expect(answer.episodes).toHaveLength(1);
		expect(answer.episodes[0]).toMatchObject({
			parameter: 'torquePct',
			line: 'continuous',
			startS: [0.9, 1],
			verdict: 'proved',
			reference: 'manual A',
		});
		// Ten samples 0.1 s apart: between 0.9 and 1.1 s (differences of decimal stamps: 1e-9).
		expect(answer.episodes[0].durationS[0]).toBeCloseTo(0.9, 9);
		expect(answer.episodes[0].durationS[1]).toBeCloseTo(1.1, 9);
		// The slew allows (93.5 + 93.5 + 80 · 0.1) / 2 between two samples.
		expect(answer.episodes[0].peak[0]).toBe(93.5);
		expect(answer.episodes[0].peak[1]).toBeCloseTo(97.5, 9);
		expect(answer.governing).toEqual({ torquePct: 'continuous' });
		expect(answer.unseen).toEqual([]);
		expect({ status, err }).toEqual({ status: 0, err: '' });
	});

	it('a line whose condition does not hold is not passed; --fail-outside tells the two apart', async () => {
		const args = (csv: string) => ['--limits', file('limits.json', limits), file('trace.csv', csv), '--fail-outside'];
		expect((await assess(args(trace(60, 93.5)))).status).toBe(1);
		const slow = await assess(args(trace(30, 93.5)));
		expect(slow.status).toBe(0);
		expect(slow.out).toContain('No line was seen to be passed');
	});

	it('tables for people name line, times, peak and reference, and say who decides', async () => {
		const { out } = await assess(['--limits', file('limits.json', limits), file('trace.csv', trace(60, 93.5))]);
		expect(out).toMatch(/PROVED\s+torquePct\s+continuous\s+begins 0\.90 to 1\.00 s\s+lasts 0\.90 to 1\.10 s/);
		expect(out).toContain('manual A');
		expect(out).toContain('A decision aid, not a certificate');
		expect(out).not.toMatch(/airworth|serviceable|fit to fly|safe/i);
	});

	it.each([
		['timeS,torquePct\n0,1\n0,1\n', 'duplicate-time', 'line 3'],
		['timeS,torquePct\n1,1\n0,1\n', 'clock-backwards', 'line 3'],
		['timeS,torquePct\n1,high\n', 'not-a-number', 'line 2'],
		['timeS,torquePct\n', 'no-rows', undefined],
	])('refuses %j with %s', async (csv, code, path) => {
		const { status, out } = await assess(['--limits', file('limits.json', limits), file('bad.csv', csv), '--json']);
		expect(status).toBe(2);
		expect(JSON.parse(out).error).toMatchObject({ code, ...(path === undefined ? {} : { path }) });
	});

	it('reads standard input for -, refuses a missing file with status 2 and asks for --limits', async () => {
		const named = file('limits.json', limits);
		expect((await assess(['--limits', named, '-', '--json'], [trace(60, 93.5)])).status).toBe(0);
		expect((await assess(['--limits', named, join(folder, 'none.csv')])).status).toBe(2);
		await expect(assess(['trace.csv'])).rejects.toThrow(UsageError);
	});
});

describe('stillmast assess-line', () => {
	it('answers one line each, in order, a bad one with its error, and goes on', async () => {
		const good = JSON.stringify({
			limits,
			columns: ['timeS', 'torquePct', 'iasKt'],
			rows: [
				[0, 90, 60],
				[0.1, 93, null],
				[0.2, 90, 60],
			],
		});
		const { io, said } = testIo([`${good}\n{"limits": 3}\n\n${good}\n`]);
		expect(await assessLineVerb.run([], io)).toBe(0);
		const answers = said.out
			.trim()
			.split('\n')
			.map((line) => JSON.parse(line));
		expect(answers).toHaveLength(3);
		expect(answers[0].governing).toEqual({ torquePct: 'continuous' });
		expect(answers[1].error).toMatchObject({ path: '$.limits', line: 2 });
		expect(answers[2]).toEqual(answers[0]);
	});
});
