// Hosts under test, each in a process of its own, with what they cost (Linux: /proc).
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath, pathToFileURL } from 'node:url';

const servers = fileURLToPath(new URL('../servers/', import.meta.url));
const TICKS_PER_SECOND = 100;

/** Our relay. `signatures: false` lets every signature pass unlooked at; nothing else differs. */
export async function startOurs({ signatures = true, database = null, nodeArgs = [] } = {}) {
	const folder = mkdtempSync(join(tmpdir(), 'stillmast-bench-'));
	const preload = signatures ? [] : ['--import', pathToFileURL(join(servers, 'unsigned.mjs')).href];
	const host = await start([...nodeArgs, ...preload, join(servers, 'ours.mjs'), folder, database ?? '']);
	return {
		...host,
		ours: true,
		/** Takes in the first entries of a record. */
		async adopt(record, entries) {
			const problem = await host.ask({ record, entries });
			if (problem) throw new Error(problem.code);
		},
		async stop() {
			await host.stop();
			rmSync(folder, { recursive: true, force: true });
		},
	};
}

/** The stock server's protocol: `packageFolder` runs an installed one, else our plain stand-in. */
export async function startStock(packageFolder = null) {
	if (!packageFolder) return { ...(await start([join(servers, 'plain.mjs')])), ours: false };
	const port = 20_000 + Math.floor(Math.random() * 20_000);
	const script = join(packageFolder, 'node_modules', '@y', 'websocket-server', 'src', 'server.js');
	const host = await start([script], { HOST: '127.0.0.1', PORT: String(port) });
	return { ...host, ours: false, url: `http://127.0.0.1:${port}` };
}

async function start(args, env = {}) {
	const child = spawn(process.execPath, args, {
		env: { ...process.env, ...env },
		stdio: ['pipe', 'pipe', 'inherit'],
	});
	const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
	const line = async () => {
		const next = await lines.next();
		if (next.done) throw new Error(`the host ended: ${args.at(-1)}`);
		return next.value;
	};
	const first = await line();
	const said = first.startsWith('{') ? JSON.parse(first) : {};
	return {
		...said,
		async ask(question) {
			child.stdin.write(`${JSON.stringify(question)}\n`);
			return JSON.parse(await line());
		},
		cpuS: () => cpuSecondsOf(child.pid),
		memoryMb: () => memoryMbOf(child.pid),
		async stop() {
			const gone = new Promise((resolve) => child.once('exit', resolve));
			child.kill('SIGTERM');
			await gone;
		},
	};
}

/** Processor seconds of a process, all its threads. */
export function cpuSecondsOf(pid) {
	const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ');
	return (Number(fields[11]) + Number(fields[12])) / TICKS_PER_SECOND;
}

export function memoryMbOf(pid) {
	return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))[1]) / 1_024;
}

/** Processor seconds of the whole machine, stolen ones left out. */
export function machineBusyS() {
	const fields = readFileSync('/proc/stat', 'utf8').split('\n')[0].trim().split(/\s+/).slice(1).map(Number);
	return (fields[0] + fields[1] + fields[2] + fields[5] + fields[6]) / TICKS_PER_SECOND;
}
