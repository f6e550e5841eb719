import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reduceVerb } from '../src/reduce/verb.js';
import { UsageError } from '../src/verb.js';
import { testIo } from './test-io.js';

/** An invented recording: 5 rev/s, 0.3 ips lagging the pulse by 60 degrees, 20 s at 500 Hz. */
const setup = {
	format: 'stillmast/signals@1',
	sampleRateHz: 500,
	channels: [{ id: 'lat', quantity: 'ips' }],
	pulse: { column: 'pulse', threshold: 2.5, hysteresis: 1 },
};
const rows = Array.from({ length: 10_000 }, (_, k) => {
	const turns = (5 * k) / 500;
	const lat = 0.3 * Math.cos(2 * Math.PI * turns - Math.PI / 3);
	return `${lat},${turns - Math.floor(turns) < 0.05 ? 5 : 0}`;
});
const csv = ['lat,pulse', ...rows].join('\n');

let folder = '';
const file = (name: string, text: string): string => {
	const path = join(folder, name);
	writeFileSync(path, text);
	return path;
};
beforeAll(() => {
	folder = mkdtempSync(join(tmpdir(), 'stillmast-reduce-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function reduce(args: readonly string[], input: readonly string[] = []) {
	const { io, said } = testIo(input);
	const status = await reduceVerb.run(args, io);
	return { status, ...said };
}

describe('stillmast reduce RECORDING --setup SETUP', () => {
	it('--json prints speed, revolutions and readings', async () => {
		const { out, err, status } = await reduce([
			file('run.csv', csv),
			'--setup',
			file('setup.json', JSON.stringify(setup)),
			'--json',
		]);
		const answer = JSON.parse(out);
		expect(answer.format).toBe('stillmast/orders@1');
		// The pulse stands between two samples, half a sample (0.9 degrees) at most from where it was.
		expect(answer.rpm.mean).toBeCloseTo(300, 1);
		expect(answer.readings[0].amplitudeIps).toBeCloseTo(0.3, 3);
		expect(Math.abs(answer.readings[0].phaseDeg - 60)).toBeLessThan(2.5);
		expect({ status, err }).toEqual({ status: 0, err: '' });
	});

	it('tells people what was used and what was left out, from standard input too', async () => {
		const { out, status } = await reduce(['-', '--setup', file('setup.json', JSON.stringify(setup))], [csv]);
		expect(out).toContain('revolutions used');
		expect(out).toContain('0.300 ips');
		expect(status).toBe(0);
	});

	it('refuses a missing recording, a missing column and a wrong setup with status 2', async () => {
		const good = file('setup.json', JSON.stringify(setup));
		const missing = await reduce([join(folder, 'none.csv'), '--setup', good, '--json']);
		expect(JSON.parse(missing.out).error.code).toBe('no-file');
		const column = await reduce([file('short.csv', 'lat\n1\n2\n'), '--setup', good, '--json']);
		expect(JSON.parse(column.out).error.code).toBe('missing-column');
		const wrong = await reduce([file('run.csv', csv), '--setup', file('bad.json', '{}'), '--json']);
		expect(JSON.parse(wrong.out).error.code).toBe('missing-field');
		expect([missing.status, column.status, wrong.status]).toEqual([2, 2, 2]);
	});

	it('needs --setup', async () => {
		await expect(reduce(['run.csv'])).rejects.toThrow(UsageError);
	});
});
