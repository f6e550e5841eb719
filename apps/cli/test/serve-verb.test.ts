import { type ChildProcess, spawn } from 'node:child_process';
import { X509Certificate } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readRecordFile } from '@stillmast/record/file';
import { fold } from '@stillmast/record/fold';
import { EntrySet } from '@stillmast/record/set';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { main } from '../src/index.js';
import { joinedForPeople } from '../src/serve/people.js';
import { serveSettings } from '../src/serve/settings.js';
import { UsageError } from '../src/verb.js';
import { playedDemo, seededRandom } from './record-example.js';
import { testIo } from './test-io.js';

describe('serveSettings(flags, env)', () => {
	it('is port 4300 on loopback unless asked', () => {
		expect(serveSettings({}, {})).toMatchObject({
			port: 4300,
			host: '127.0.0.1',
			name: undefined,
			reachableFromOutside: false,
		});
	});

	it('takes PORT, HOST and DATA from the environment, flags first; an empty variable is none', () => {
		const env = { PORT: '5000', HOST: '::1', DATA: join(tmpdir(), 'kept') };
		expect(serveSettings({}, env)).toMatchObject({ port: 5000, host: '::1', dataDir: env.DATA });
		expect(serveSettings({ port: '0', host: 'localhost' }, env)).toMatchObject({ port: 0, host: 'localhost' });
		expect(serveSettings({}, { PORT: '' }).port).toBe(4300);
	});

	it('gives a name the port that the board is reached by', () => {
		expect(serveSettings({ name: 'board.example', host: '10.0.0.1' }, {})).toMatchObject({
			name: 'board.example:4300',
			reachableFromOutside: true,
		});
		expect(serveSettings({ name: 'board.example:80' }, {}).name).toBe('board.example:80');
	});

	it.each([
		[{ port: '70000' }],
		[{ port: 'x' }],
		[{ port: '-1' }],
		[{ host: 'a b' }],
		[{ host: 'board:80' }],
		[{ name: 'http://x' }],
	])('%j is a usage error', (flags) => {
		expect(() => serveSettings(flags, {})).toThrow(UsageError);
	});
});

describe('the demo flight, played', () => {
	it('is a sound record of purpose demo in which every entry counts', async () => {
		const read = readRecordFile(await playedDemo(seededRandom(3), 'A'.repeat(43)));
		expect(read.faults).toEqual([]);
		const state = fold(new EntrySet(read.record ?? '', read.entries));
		expect([...state.judged.values()].filter(({ judgement }) => judgement.state !== 'counts')).toEqual([]);
		expect(state.purpose).toBe('demo');
		expect(state.flights.map(({ flight, closed }) => [flight, closed?.state])).toEqual([[1, 'one']]);
		expect([...state.people.values()].map(({ role }) => role)).toEqual(['engineer', 'host', 'pilot']);
		// every channel of both rotors
		expect(state.vibrations).toHaveLength(9);
	});
});

describe('stillmast serve', () => {
	let folder = '';
	const children: ChildProcess[] = [];
	beforeAll(() => {
		folder = mkdtempSync(join(tmpdir(), 'stillmast-serve-'));
	});
	afterAll(() => {
		for (const child of children) child.kill('SIGKILL');
		rmSync(folder, { recursive: true });
	});

	interface Ready {
		readonly url: string;
		readonly demo: { readonly record: string; readonly links: Readonly<Record<string, string>> };
	}

	async function serve(data: string): Promise<Ready & { readonly child: ChildProcess }> {
		const bin = join(import.meta.dirname, '..', 'bin', 'stillmast.mjs');
		const args = ['serve', '--demo', '--json', '--port', '0', '--data', join(folder, data)];
		const child = spawn(process.execPath, [bin, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
		children.push(child);
		let out = '';
		let err = '';
		child.stderr.on('data', (chunk) => {
			err += chunk;
		});
		const ready = await new Promise<Ready>((resolve, reject) => {
			child.stdout.on('data', (chunk) => {
				out += chunk;
				if (out.includes('\n')) resolve(JSON.parse(out));
			});
			child.once('exit', (code) => reject(new Error(`ended with ${code}: ${err}`)));
		});
		return { ...ready, child };
	}

	function ended(child: ChildProcess, signal: NodeJS.Signals): Promise<number | null> {
		const done = new Promise<number | null>((resolve) => child.once('exit', (code) => resolve(code)));
		child.kill(signal);
		return done;
	}

	it('serves pages and health, keeps the demo over a stop and a kill, and gives a link for each role', async () => {
		const first = await serve('kept');
		expect((await fetch(`${first.url}/health`)).status).toBe(200);
		const page = await fetch(first.url);
		expect(page.status).toBe(200);
		expect(page.headers.get('content-type')).toContain('text/html');
		expect(Object.keys(first.demo.links)).toEqual(['pilot', 'engineer', 'support', 'instructor', 'reviewer']);
		expect(first.demo.links.pilot).toMatch(new RegExp(`^${first.url}/join#.+`));
		expect(await ended(first.child, 'SIGTERM')).toBe(0);
		expect(readdirSync(join(folder, 'kept'))).not.toContain('in-use');

		const second = await serve('kept');
		expect(second.demo.record).toBe(first.demo.record);
		await ended(second.child, 'SIGKILL');

		const third = await serve('kept');
		expect(third.demo.record).toBe(first.demo.record);
		await ended(third.child, 'SIGTERM');
	}, 60_000);

	it('[RLY-53] [RLY-54] --make-ca serves https that its own authority vouches for, and says what to compare and who may begin', async () => {
		const { io, said } = testIo();
		const data = join(folder, 'authority');
		expect(
			await main(['serve', '--port', '0', '--make-ca', '--name', 'board.hangar.example', '--data', data], io),
		).toBe(0);
		const kept = JSON.parse(readFileSync(join(data, 'authority', 'authority.json'), 'utf8')) as { certificate: string };
		const certificate = new X509Certificate(Buffer.from(kept.certificate, 'base64'));
		expect(said.out).toContain(certificate.fingerprint256);
		expect(said.out).toMatch(/words +[a-z]+ [a-z]+ [a-z]+\n/);
		expect(said.out).toContain('http://board.hangar.example/trust');
		expect(said.out).toMatch(/https:\/\/board\.hangar\.example\/join#[\w-]{27}/);
		const other = testIo();
		const elsewhere = ['serve', '--port', '0', '--make-ca', '--name', 'elsewhere.example', '--data', data];
		expect(await main(elsewhere, other.io)).toBe(1);
		expect(other.said.err).toContain('the kept authority may not vouch for this name');
		expect(readdirSync(data)).not.toContain('in-use');
	}, 60_000);

	it('[RLY-52] says the words of whoever joined', () => {
		const joined = {
			record: 'r',
			registration: 'ZZ-LMA',
			role: 'pilot',
			name: 'A. Pilot',
			words: 'oak tin sun',
		} as const;
		expect(joinedForPeople(joined)).toBe('A. Pilot joined ZZ-LMA as pilot. Their device shows: oak tin sun\n');
	});

	it.each([[['--cert', 'a.pem']], [['--cert', 'a.pem', '--cert-key', 'b.pem', '--make-ca']]])(
		'serve %j is wrong usage',
		async (flags) => {
			const { io } = testIo();
			expect(await main(['serve', ...flags], io)).toBe(2);
		},
	);

	it('says which certificate cannot be read, with status 1', async () => {
		const { io, said } = testIo();
		const flags = ['--cert', join(folder, 'none.pem'), '--cert-key', join(folder, 'none.key')];
		expect(await main(['serve', '--port', '0', '--data', join(folder, 'cert'), ...flags], io)).toBe(1);
		expect(said.err).toContain('none.pem');
	});

	it('says which port is taken, with status 1', async () => {
		const holder: Server = createServer();
		await new Promise<void>((resolve) => holder.listen(0, '127.0.0.1', resolve));
		const { port } = holder.address() as { readonly port: number };
		const { io, said } = testIo();
		const status = await main(['serve', '--port', String(port), '--data', join(folder, 'taken')], io);
		await new Promise((resolve) => holder.close(resolve));
		expect(status).toBe(1);
		expect(said.err).toContain(`127.0.0.1:${port}`);
		expect(readdirSync(join(folder, 'taken'))).not.toContain('in-use');
	}, 30_000);

	it('prints for people where it is, who can reach it, and the links', async () => {
		const { io, said } = testIo();
		expect(await main(['serve', '--port', '0', '--demo', '--data', join(folder, 'people')], io)).toBe(0);
		expect(said.out).toContain('Only this machine can reach it');
		expect(said.out).toMatch(/pilot +http:\/\/127\.0\.0\.1:\d+\/join#/);
		// Warnings may come on a busy machine; a request line may not, since --log was not given.
		expect(said.err).not.toContain('"level":"info"');
	}, 30_000);
});
