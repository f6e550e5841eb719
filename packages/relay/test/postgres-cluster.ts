import { execFile, execFileSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { chmod, mkdtemp, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir, userInfo } from 'node:os';
import { delimiter, join } from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** A PostgreSQL server of the tests' own, in a temporary folder. */
export interface Cluster {
	/** Address of a fresh, empty database. */
	database(): Promise<string>;
	/** Stops it as a power cut would and starts it again. */
	crash(): Promise<void>;
	stop(): Promise<void>;
}

/** Folder of initdb and pg_ctl; null where PostgreSQL is not installed, and its tests are skipped and counted so. */
export function postgresFolder(): string | null {
	const debian = '/usr/lib/postgresql';
	const versions = existsSync(debian) ? readdirSync(debian).sort().reverse() : [];
	const folders = [
		...versions.map((version) => join(debian, version, 'bin')),
		...(process.env.PATH ?? '').split(delimiter),
	];
	const found = folders.find((folder) => existsSync(join(folder, 'initdb')) && existsSync(join(folder, 'pg_ctl')));
	if (!found) return null;
	// The server refuses to run as root: then the user that its package made is needed.
	return userInfo().uid !== 0 || hasUser('postgres') ? found : null;
}

function hasUser(name: string): boolean {
	try {
		execFileSync('id', [name], { stdio: 'ignore' });
		return true;
	} catch {
		return false;
	}
}

export async function startCluster(folder: string): Promise<Cluster> {
	const asRoot = userInfo().uid === 0;
	// In memory where that is possible: after a crash the server flushes its whole folder, which a busy disk makes slow.
	// What a power cut does to its processes is the same; flushing itself is not what these tests are about.
	const place = await mkdtemp(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'stillmast-postgres-'));
	const data = join(place, 'data');
	const port = await freePort();
	const tool = (name: string, ...args: string[]) =>
		asRoot
			? run('runuser', ['-u', 'postgres', '--', join(folder, name), ...args], { cwd: place })
			: run(join(folder, name), args, { cwd: place });
	if (asRoot) {
		await run('chown', ['postgres', place]);
	} else await chmod(place, 0o700);
	await tool('initdb', '-D', data, '-U', 'postgres', '-A', 'trust', '-E', 'UTF8', '--locale=C', '--no-sync');
	const options = `-p ${port} -k ${place} -c listen_addresses=127.0.0.1 -c max_connections=60 -c shared_buffers=16MB`;
	const start = () => tool('pg_ctl', '-D', data, '-w', '-l', join(place, 'log'), '-o', options, 'start');
	await start();
	let databases = 0;
	return {
		async database() {
			const name = `t${++databases}`;
			await tool('createdb', '-h', '127.0.0.1', '-p', String(port), '-U', 'postgres', name);
			return `postgres://postgres@127.0.0.1:${port}/${name}`;
		},
		async crash() {
			await tool('pg_ctl', '-D', data, '-w', '-m', 'immediate', 'stop');
			await start();
		},
		async stop() {
			await tool('pg_ctl', '-D', data, '-w', '-m', 'immediate', 'stop');
			await rm(place, { recursive: true, force: true });
		},
	};
}

function freePort(): Promise<number> {
	return new Promise((resolve, reject) => {
		const server = createServer();
		server.once('error', reject);
		server.listen(0, '127.0.0.1', () => {
			const address = server.address();
			server.close(() => resolve(typeof address === 'object' && address ? address.port : 0));
		});
	});
}
