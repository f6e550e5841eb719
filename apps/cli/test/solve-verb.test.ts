import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fail, ok } from '@stillmast/core/result';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Solver } from '../src/solve/solver.js';
import { solveVerb } from '../src/solve/verb.js';
import { UsageError } from '../src/verb.js';
import { exampleProposals, exampleRotor } from './rotor-example.js';
import { testIo } from './test-io.js';

/** The verb's own work, with a solver that answers the example to whatever fits the schema. */
const answering: Solver = () => ok(exampleProposals);
const refusing: Solver = () =>
	fail({ code: 'unknown-channel', found: 'hover/ver', needed: ['hover/lat'], path: "$.runs[0].readings['hover/ver']" });

let folder = '';
const file = (name: string, text: string): string => {
	const path = join(folder, name);
	writeFileSync(path, text);
	return path;
};
beforeAll(() => {
	folder = mkdtempSync(join(tmpdir(), 'stillmast-solve-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function solve(
	args: readonly string[],
	input: readonly (string | Uint8Array)[] = [],
	solver: Solver = answering,
) {
	const { io, said } = testIo(input);
	const status = await solveVerb(solver).run(args, io);
	return { status, ...said };
}
const rotorText = JSON.stringify(exampleRotor);

describe('stillmast solve FILE', () => {
	it('--json prints the answer and nothing else', async () => {
		const { status, out, err } = await solve([file('rotor.json', rotorText), '--json']);
		expect(JSON.parse(out)).toEqual(exampleProposals);
		expect({ status, err }).toEqual({ status: 0, err: '' });
	});

	it('reads standard input as -', async () => {
		expect((await solve(['-', '--json'], [rotorText])).status).toBe(0);
	});

	it('prints changes in shop words, intervals, the recommendation and the cautions', async () => {
		const { out, status } = await solve([file('rotor.json', rotorText)]);
		expect(status).toBe(0);
		for (const part of [
			'After run r1: OUTSIDE LIMITS (worst reading 1.55 of its limit)',
			'Recommended: 2 changes',
			'Blade A: add 2 plates (0 to 2)',
			'at most 0.17',
			'(95 %: 0.01 to 0.17)',
			'inside 0.20: 98 %',
			'gain 1.00 of the table (95 %: 0.50 to 1.50)',
			'licensed staff govern',
		]) {
			expect(out).toContain(part);
		}
	});

	it('--all adds the predicted readings of the other proposals', async () => {
		const path = file('rotor.json', rotorText);
		const first = exampleProposals.proposals[0];
		const two: Solver = () =>
			first === undefined
				? answering(exampleRotor, {})
				: ok({ ...exampleProposals, proposals: [first, { ...first, touches: 3 }] });
		const readingsIn = (out: string): number => out.split('(95 %: 0.01 to 0.17)').length - 1;
		expect(readingsIn((await solve([path], [], two)).out)).toBe(1);
		expect(readingsIn((await solve([path, '--all'], [], two)).out)).toBe(2);
	});

	it('--fail-outside gives 1 outside limits, 1 while a channel is unread, 0 inside', async () => {
		const path = file('rotor.json', rotorText);
		const withState =
			(state: Partial<typeof exampleProposals.state>): Solver =>
			() =>
				ok({ ...exampleProposals, state: { ...exampleProposals.state, ...state } });
		const status = async (solver: Solver) => (await solve([path, '--json', '--fail-outside'], [], solver)).status;
		expect(await status(answering)).toBe(1);
		expect(await status(withState({ withinLimit: true, unread: ['hover/lat'] }))).toBe(1);
		expect(await status(withState({ withinLimit: null }))).toBe(1);
		expect(await status(withState({ withinLimit: true }))).toBe(0);
	});

	it.each([
		['a missing file', () => join(folder, 'nowhere.json'), 'no-file', undefined],
		['a folder', () => folder, 'unreadable', undefined],
		['text that is no JSON', () => file('a.json', '{"format": stillmast}'), 'not-json', '$.format'],
		['NaN', () => file('b.json', rotorText.replace('390', 'NaN')), 'not-json', '$.rotor.rpm'],
		['ten thousand levels', () => file('c.json', '['.repeat(10_000)), 'too-deep', `$${'[0]'.repeat(64)}`],
		['a schema error', () => file('d.json', rotorText.replace('390', '"390"')), 'wrong-type', '$.rotor.rpm'],
		['a missing field', () => file('e.json', rotorText.replace('"rpm":390,', '')), 'missing-field', '$.rotor.rpm'],
	])('refuses %s with status 2, the code and the path', async (_title, path, code, place) => {
		const { status, out, err } = await solve([path(), '--json']);
		const { error } = JSON.parse(out);
		expect(status).toBe(2);
		expect(error).toMatchObject(place === undefined ? { code } : { code, path: place });
		expect(err).toContain(error.words);
	});

	it('refuses what the solver refuses, naming the path', async () => {
		const { status, err } = await solve([file('rotor.json', rotorText)], [], refusing);
		expect(status).toBe(2);
		expect(err).toContain(
			"$.runs[0].readings['hover/ver']: a channel is named that the document does not list; found hover/ver; needed hover/lat",
		);
	});

	it('refuses 100 MB unread', async () => {
		const path = file('noise.json', '');
		truncateSync(path, 100_000_000);
		const { status, err } = await solve([path]);
		expect(status).toBe(2);
		expect(err).toContain('too large and was not read');
	});

	it('refuses bytes that are not UTF-8', async () => {
		const { err } = await solve(['-'], [Buffer.from([0x7b, 0xff, 0x7d])]);
		expect(err).toContain('not UTF-8');
	});

	it.each([
		[[]],
		[['a.json', 'b.json']],
		[['a.json', '--jsn']],
		[['a.json', '--seed', '-1']],
		[['--ndjson', 'a.json']],
	])('%j is a usage error', async (args) => {
		await expect(solve(args)).rejects.toBeInstanceOf(UsageError);
	});
});

describe('stillmast solve --ndjson', () => {
	it('answers each line in order, a bad line with its error and number, and goes on', async () => {
		const { status, out } = await solve(['--ndjson'], [`${rotorText}\n{"format": 1}\nnoise\n\n${rotorText}`]);
		const answers = out
			.trimEnd()
			.split('\n')
			.map((line) => JSON.parse(line));
		expect(answers.map((answer) => answer.format ?? `${answer.error.code} in line ${answer.error.line}`)).toEqual([
			'stillmast/proposals@1',
			'not-allowed in line 2',
			'not-json in line 3',
			'stillmast/proposals@1',
		]);
		expect(status).toBe(0);
	});

	it('--fail-outside gives 1 when a line is outside or bad', async () => {
		expect((await solve(['--ndjson', '--fail-outside'], ['noise\n'])).status).toBe(1);
	});

	it('answers every line of noise by an error, one line each, and never throws', async () => {
		const noise = fc.uint8Array({ maxLength: 200 }).map((bytes) => bytes.map((byte) => (byte === 0x0a ? 0x0b : byte)));
		await fc.assert(
			fc.asyncProperty(fc.array(noise, { minLength: 1, maxLength: 5 }), async (lines) => {
				const asked = lines.filter((line) => line.some((byte) => ![0x20, 0x09, 0x0d].includes(byte)));
				const { out, status } = await solve(
					['--ndjson'],
					[Buffer.concat(lines.flatMap((line) => [line, Buffer.from('\n')]))],
				);
				const answers = out.split('\n').slice(0, -1);
				expect(answers).toHaveLength(asked.length);
				for (const answer of answers) expect(JSON.parse(answer)).toHaveProperty('error.code');
				expect(status).toBe(0);
			}),
			{ seed: 23, numRuns: 300 },
		);
	});
});
