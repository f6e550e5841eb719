import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type KindPrior, solveRotor } from '@stillmast/core/balance';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { learnFleetVerb } from '../src/solve/learn-fleet-verb.js';
import { UsageError } from '../src/verb.js';
import { exampleRotor } from './rotor-example.js';
import { testIo } from './test-io.js';

let folder = '';
beforeAll(() => {
	folder = mkdtempSync(join(tmpdir(), 'stillmast-fleet-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** Invented: a tail whose plates act `gain` times as the table says, found by one change of four plates. */
function tail(name: string, gain: number): string {
	const plate = exampleRotor.coefficients[0]!;
	const effectIps = 4 * gain * plate.amplitudeIpsPerUnit;
	const { channel, kind, phaseDeg } = plate;
	const { id, passAngleDeg } = exampleRotor.adjusters.find((adjuster) => adjuster.kind === kind)!;
	const reading = (amplitudeIps: number) => ({ [channel]: { amplitudeIps, phaseDeg: phaseDeg + passAngleDeg } });
	const runs = [
		{ id: 'r1', settings: {}, readings: reading(0.2) },
		{ id: 'r2', settings: { [id]: 4 }, readings: reading(0.2 + effectIps) },
	];
	const path = join(folder, `${name}.json`);
	writeFileSync(path, JSON.stringify({ ...exampleRotor, noise: { sdIps: 0.003 }, runs }));
	return path;
}

async function learn(...args: readonly string[]) {
	const { io, said } = testIo([]);
	const status = await learnFleetVerb(solveRotor).run(args, io);
	return { status, ...said };
}

describe('stillmast learn-fleet FILE...', () => {
	const gains = [1.2, 1.25, 1.3, 1.35, 1.4];

	it('--json prints the priors of the next tail: the mean gain of the five, and that a fleet said so', async () => {
		const { status, out } = await learn(...gains.map((gain) => tail(`t${gain}`, gain)), '--json');
		const { tails, priors } = JSON.parse(out) as { tails: number; priors: readonly KindPrior[] };
		expect({ status, tails }).toEqual({ status: 0, tails: 5 });
		expect(priors[0]).toMatchObject({ kind: 'plate', source: 'fleet' });
		// each tail's own estimate leans a little on the table: a twentieth at most
		expect(Math.abs(priors[0]!.gain! - 1.3)).toBeLessThan(0.05);
		expect(priors[0]!.commonGainSd).toBeLessThan(0.2);
	});

	it('says it in words otherwise', async () => {
		const { out } = await learn(...gains.map((gain) => tail(`t${gain}`, gain)));
		expect(out).toMatch(/^What 5 tails teach of the next one:\n {2}plate: 1\.\d\d ± /);
	});

	it('too few tails and a wrong document are refused with status 2; no file at all is wrong usage', async () => {
		const few = await learn(tail('one', 1.2));
		expect(few).toMatchObject({ status: 2, out: '' });
		expect(few.err).toContain('too few tails');
		const path = join(folder, 'wrong.json');
		writeFileSync(path, '{}');
		expect(await learn(path)).toMatchObject({ status: 2 });
		await expect(learn()).rejects.toThrow(UsageError);
	});
});
