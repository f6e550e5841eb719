import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readAs } from '@stillmast/formats/problem';
import { rehearsalSchema } from '@stillmast/formats/rehearsal';
import { rehearse } from '@stillmast/rehearsal';
import { type Relay, startRelay } from '@stillmast/relay';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { feedVerb } from '../src/feed/verb.js';
import { rehearseVerb } from '../src/rehearse/verb.js';
import { UsageError } from '../src/verb.js';
import { playedDemo } from './record-example.js';
import { testIo } from './test-io.js';

describe('stillmast feed', () => {
	let relay: Relay;
	let place: string;
	let link: string;

	beforeAll(async () => {
		place = await mkdtemp(join(tmpdir(), 'stillmast-feed-'));
		relay = await startRelay({ port: 0, dataDir: place, log: () => undefined });
		const demo = await playedDemo((length) => crypto.getRandomValues(new Uint8Array(length)), relay.publicKey);
		const record = await relay.importRecordFile(demo);
		if (!record.ok) throw new Error(record.problem.code);
		link = (await relay.createInvite(record.value, 'engineer', 20, 1)).url;
	});
	afterAll(async () => {
		await relay.stop();
		await rm(place, { recursive: true, force: true });
	});

	async function run(args: readonly string[], input: readonly string[] = []) {
		const { io, said } = testIo(input.map((text) => Buffer.from(text)));
		const status = await feedVerb.run(args, io);
		return { status, ...said };
	}

	it('replays a CSV trace, words as states, empty cells as no sample, and says what was recorded', async () => {
		const file = join(place, 'flight.csv');
		const rows = Array.from({ length: 200 }, (_, n) => `${n / 50},${60 + (n % 5)},${n % 2 === 0 ? 400 : ''},hover`);
		await writeFile(file, `timeS,torquePct,totC,phase\n${rows.join('\n')}\n`);
		const { status, out, err } = await run([file, '--to', link, '--registration', 'ZZ-LMW', '--speed', '0', '--json']);
		expect({ status, err }).toEqual({ status: 0, err: '' });
		expect(JSON.parse(out)).toEqual({ rows: 200, entries: 1, gaps: 0, repeats: 0, backward: 0 });
	});

	it('takes lines of stillmast/feed@1 and keeps to the source’s own time', async () => {
		const file = join(place, 'flight.ndjson');
		const head = {
			format: 'stillmast/feed@1',
			source: 'x',
			registration: 'ZZ-LMW',
			channels: [{ id: 'nrPct', unit: '%' }],
		};
		const lines = [head, ...[0, 0.1, 0.2].map((timeS) => ({ timeS, values: { nrPct: 100 } })), { end: true }];
		await writeFile(file, lines.map((line) => `${JSON.stringify(line)}\n`).join(''));
		const { status, out } = await run([file, '--to', link, '--registration', 'ZZ-LMW']);
		expect(status).toBe(0);
		expect(out).toBe('Recorded: 3 rows in 1 entry.\n');
	});

	it('has a rehearsal as a source', async () => {
		const { status, out } = await run([
			'--rehearsal',
			'--seed',
			'3',
			'--to',
			link,
			'--registration',
			'ZZ-LMW',
			'--speed',
			'0',
			'--json',
		]);
		expect(status).toBe(0);
		// 3 s of count-in and 8 s after go, 50 a second
		expect(JSON.parse(out).rows).toBeGreaterThan(540);
	});

	it('another registration, a broken file and a spent link end with the reason', async () => {
		const csv = ['timeS,torquePct\n0,60\n', '0.02,61\nx,62\n'];
		expect(await run(['-', '--to', link, '--registration', 'ZZ-AAA', '--speed', '0'], csv)).toMatchObject({
			status: 2,
		});
		const broken = await run(['-', '--to', link, '--registration', 'ZZ-LMW', '--speed', '0'], csv);
		expect(broken.status).toBe(2);
		expect(broken.err).toContain('line 4');
		const spent = await run(['-', '--to', `${relay.url}/join#nothing`, '--registration', 'ZZ-LMW'], csv);
		expect(spent.status).toBe(1);
		expect(spent.err).toContain('invite spent');
	});

	it.each([[[]], [['a.csv']], [['a.csv', '--to', 'x']], [['a.csv', '--to', 'http://h/join#s']]])(
		'refuses %j',
		async (args) => {
			await expect(run(args)).rejects.toBeInstanceOf(UsageError);
		},
	);
});

describe('stillmast rehearse --json', () => {
	it('is a stillmast/rehearsal@1 document', async () => {
		const { io, said } = testIo();
		await rehearseVerb(rehearse).run(['--attempts', '4', '--seed', '11', '--json'], io);
		expect(readAs(rehearsalSchema, JSON.parse(said.out))).toMatchObject({ ok: true });
	});
});
