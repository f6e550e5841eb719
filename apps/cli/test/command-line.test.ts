import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Proposals } from '@stillmast/core/balance';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { main } from '../src/index.js';
import { exampleRotor } from './rotor-example.js';
import { testIo } from './test-io.js';

async function stillmast(args: readonly string[], input: readonly (string | Uint8Array)[] = []) {
	const { io, said } = testIo(input);
	const status = await main(args, io);
	return { status, ...said };
}

let folder = '';
beforeAll(() => {
	folder = mkdtempSync(join(tmpdir(), 'stillmast-cli-'));
	writeFileSync(join(folder, 'rotor.json'), JSON.stringify(exampleRotor));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe('stillmast', () => {
	it.each([['help'], ['--help'], ['-h']])('%s lists the verbs with status 0', async (word) => {
		const { status, out } = await stillmast([word]);
		expect(status).toBe(0);
		expect(out).toContain('usage: stillmast VERB');
		expect(out).toContain('solve ');
	});

	it('without a verb, or with an unknown one, says which there are and gives 2', async () => {
		for (const args of [[], ['sovle'], ['help', 'sovle']]) {
			const { status, err, out } = await stillmast(args);
			expect({ status, out }).toEqual({ status: 2, out: '' });
			expect(err).toContain('usage: stillmast VERB');
		}
	});

	it('help VERB and VERB --help print the same', async () => {
		const { out } = await stillmast(['help', 'solve']);
		expect(out).toContain('usage: stillmast solve FILE');
		expect((await stillmast(['solve', '--help'])).out).toBe(out);
	});

	it('a usage error names the flag, repeats the usage line and gives 2', async () => {
		const { status, err } = await stillmast(['solve', 'a.json', '--jsn']);
		expect(status).toBe(2);
		expect(err).toContain('--jsn');
		expect(err).toContain('usage: stillmast solve FILE');
	});
});

describe('stillmast solve with the real solver', () => {
	it('answers the contract’s example: the fault of 0.31 ips goes with two changes, on A and C', async () => {
		const { status, out } = await stillmast(['solve', join(folder, 'rotor.json'), '--json']);
		expect(status).toBe(0);
		const answer = JSON.parse(out) as Proposals;
		expect(answer.format).toBe('stillmast/proposals@1');
		expect(answer.state.worstRatioToLimit).toBeCloseTo(0.31 / 0.2, 12);
		expect(answer.proposals.map((proposal) => proposal.touches)).toEqual([0, 1, 2]);
		const two = answer.proposals[2];
		expect(two?.changes.map((change) => change.adjuster)).toEqual(['plate-A', 'plate-C']);
		expect(two?.proved).toBe(true);
		const reading = two?.predicted['hover/lat'];
		expect(reading?.low95Ips).toBeLessThan(reading?.amplitudeIps ?? 0);
		expect(reading?.high95Ips).toBeGreaterThan(reading?.amplitudeIps ?? 1);
	});

	it.each([
		[
			'an unknown channel in a run',
			{ runs: [{ id: 'r1', readings: { 'hover/ver': { amplitudeIps: 0.1 } } }] },
			"$.runs[0].readings['hover/ver']",
		],
		[
			'an unknown adjuster in a run',
			{ runs: [{ id: 'r1', settings: { 'plate-D': 1 }, readings: {} }] },
			"$.runs[0].settings['plate-D']",
		],
		['a locked adjuster that is not there', { locked: ['plate-D'] }, '$.locked[0]'],
		['no channels', { channels: [] }, '$.channels'],
	])('refuses %s with status 2 and the path', async (_title, change, path) => {
		const { status, out } = await stillmast(['solve', '-', '--json'], [JSON.stringify({ ...exampleRotor, ...change })]);
		expect({ status, path: JSON.parse(out).error.path }).toEqual({ status: 2, path });
	});

	it('gives an answer without NaN or a refusal with a path, whatever number stands anywhere', async () => {
		const text = JSON.stringify(exampleRotor);
		const places = [...text.matchAll(/(?<=[:[,])-?\d+(\.\d+)?(?=[,}\]])/g)];
		const number = fc.oneof(
			fc.double({ noNaN: true, noDefaultInfinity: true }),
			fc.integer({ min: -10, max: 400 }),
			fc.constantFrom(0, -0, 1e308, -1e308, 5e-324, 1e-9),
		);
		await fc.assert(
			fc.asyncProperty(fc.constantFrom(...places), number, async (place, value) => {
				const changed = text.slice(0, place.index) + String(value) + text.slice(place.index + place[0].length);
				const { status, out } = await stillmast(['solve', '--ndjson'], [changed]);
				expect(status).toBe(0);
				const answer = JSON.parse(out);
				if (answer.error !== undefined) expect(answer.error.path).toMatch(/^\$/);
				// JSON writes NaN and infinity as null; the only nulls an answer may hold are these.
				else expect(nullsIn(answer)).toEqual(nullsIn(answer).filter((name) => mayBeNull.has(name)));
			}),
			{ seed: 31, numRuns: 150 },
		);
	}, 60_000);
});

const mayBeNull = new Set([
	'alternative',
	'recommended',
	'audit',
	'trial',
	'rotorRpmPct',
	'run',
	'limitMm',
	'expectedIps',
	'adjuster',
]);

function nullsIn(value: unknown, name = ''): readonly string[] {
	if (value === null) return [name];
	if (typeof value !== 'object') return [];
	return Object.entries(value).flatMap(([key, inner]) => nullsIn(inner, Array.isArray(value) ? name : key));
}

describe('bin/stillmast.mjs', () => {
	const start = (args: readonly string[]) =>
		spawn(process.execPath, [join(import.meta.dirname, '..', 'bin', 'stillmast.mjs'), ...args], {
			stdio: ['pipe', 'pipe', 'pipe'],
		});

	it('passes the exit status on and answers line by line while input is still open', async () => {
		const child = start(['solve', '--ndjson']);
		child.stdin.write('noise\n');
		const first = await new Promise<string>((resolve) => child.stdout.once('data', (chunk) => resolve(String(chunk))));
		expect(JSON.parse(first).error).toMatchObject({ code: 'not-json', line: 1 });
		const closed = new Promise((resolve) => child.once('close', resolve));
		child.stdin.end();
		expect(await closed).toBe(0);
	});

	it('ends quietly when its reader goes away', async () => {
		const child = start(['help']);
		let err = '';
		child.stderr.on('data', (chunk) => {
			err += chunk;
		});
		child.stdout.destroy();
		await new Promise((resolve) => child.once('close', resolve));
		expect(err).toBe('');
	});
});
