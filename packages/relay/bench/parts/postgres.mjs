// A PostgreSQL server of a bench's own, as Debian installs it; it refuses to run as root.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';

const DEBIAN = '/usr/lib/postgresql';

export async function startDatabase() {
	const { default: postgres } = await import('postgres');
	const programs = join(DEBIAN, readdirSync(DEBIAN).sort().at(-1), 'bin');
	const place = mkdtempSync(join(tmpdir(), 'stillmast-bench-postgres-'));
	const data = join(place, 'data');
	const port = 25_000 + Math.floor(Math.random() * 10_000);
	const asRoot = userInfo().uid === 0;
	const tool = (name, ...args) => {
		const command = [join(programs, name), ...args];
		const [first, ...rest] = asRoot ? ['runuser', '-u', 'postgres', '--', ...command] : command;
		execFileSync(first, rest, { cwd: place, stdio: 'ignore' });
	};
	if (asRoot) execFileSync('chown', ['postgres', place]);
	tool('initdb', '-D', data, '-U', 'postgres', '-A', 'trust', '-E', 'UTF8', '--locale=C');
	const options = `-p ${port} -k ${place} -c listen_addresses=127.0.0.1 -c max_connections=60`;
	tool('pg_ctl', '-D', data, '-w', '-l', join(place, 'log'), '-o', options, 'start');
	const address = (name) => `postgres://postgres@127.0.0.1:${port}/${name}`;
	let count = 0;
	return {
		/** Address of an empty database. */
		async fresh() {
			const name = `bench_${++count}`;
			const sql = postgres(address('postgres'), { max: 1 });
			await sql.unsafe(`CREATE DATABASE ${name}`);
			await sql.end();
			return address(name);
		},
		async stop() {
			tool('pg_ctl', '-D', data, '-m', 'immediate', '-w', 'stop');
			rmSync(place, { recursive: true, force: true });
		},
	};
}
