// What it costs to open a signed record in a process that has just begun: read the texts, check every hash, put the
// entries into a set, check one signature a chain, fold. Build first; then
// node bench/open.mjs [--sizes 300,2000,10000,80000] [--rounds 5] [--profile FOLDER]
// Each round is a process of its own. Times are processor time of all its threads (other work on the machine counts
// less so), wall time in brackets; both in ms, the median of the rounds and their range.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';

const { values, positionals } = parseArgs({
	allowPositionals: true,
	options: {
		sizes: { type: 'string', default: '300,2000,10000,80000' },
		rounds: { type: 'string', default: '5' },
		profile: { type: 'string' },
	},
});
if (positionals[0] === 'once') await openOnce(positionals[1]);
else await bench();

async function openOnce(path) {
	const { admitEntry } = await import('../dist/hash/index.js');
	const { EntrySet } = await import('../dist/set/index.js');
	const { prove } = await import('../dist/proof/index.js');
	const { Folding } = await import('../dist/fold/index.js');
	const { must } = await import('./parts/crew.mjs');
	const file = JSON.parse(readFileSync(path, 'utf8'));
	const steps = {};
	let cpu = process.cpuUsage();
	let wallMs = performance.now();
	const lap = (name) => {
		const spent = process.cpuUsage(cpu);
		const cpuMs = (spent.user + spent.system) / 1_000;
		steps[name] = { cpuMs, wallMs: performance.now() - wallMs };
		cpu = process.cpuUsage();
		wallMs = performance.now();
	};
	const entries = file.texts.map((text) => must(admitEntry(JSON.parse(text))));
	lap('read, check hashes');
	const set = new EntrySet(file.record, entries);
	lap('set');
	const { proved } = await prove(set);
	if (proved.size !== file.texts.length) throw new Error('not all proved');
	lap('one signature a chain');
	new Folding(set).state();
	lap('fold');
	const memoryMb = process.memoryUsage().rss / 1e6;
	process.stdout.write(JSON.stringify({ steps, memoryMb }));
}

async function bench() {
	const { conditions, spread } = await import('./parts/report.mjs');
	const { writeRecord } = await import('./parts/crew.mjs');
	const { canonicalJson } = await import('../dist/hash/index.js');
	const folder = mkdtempSync(join(tmpdir(), 'stillmast-open-'));
	console.log(JSON.stringify({ bench: 'open', ...conditions(), ...values }));
	for (const size of values.sizes.split(',').map(Number)) {
		const { record, entries } = await writeRecord(size);
		const path = join(folder, `${size}.json`);
		const texts = entries.map((entry) => canonicalJson(entry));
		writeFileSync(path, JSON.stringify({ record, texts }));
		const rounds = Array.from({ length: Number(values.rounds) }, () => once(path));
		const all = rounds.map(({ steps }) => sum(steps));
		const line = (runs) => `${spread(runs.map(({ cpuMs }) => cpuMs))} [${spread(runs.map(({ wallMs }) => wallMs))}]`;
		console.log(
			`${size} entries, ${Math.round(texts.join('').length / texts.length)} characters each: ${line(all)} ms`,
		);
		for (const name of Object.keys(rounds[0].steps)) {
			console.log(`   ${name.padEnd(24)} ${line(rounds.map(({ steps }) => steps[name]))}`);
		}
		console.log(`   memory of the process    ${spread(rounds.map(({ memoryMb }) => memoryMb))} MB`);
	}
	rmSync(folder, { recursive: true });
	console.log(JSON.stringify({ ended: conditions().load }));
}

function once(path) {
	const profile = values.profile ? ['--cpu-prof', `--cpu-prof-dir=${values.profile}`] : [];
	return JSON.parse(
		execFileSync(process.execPath, [...profile, fileURLToPath(import.meta.url), 'once', path], { encoding: 'utf8' }),
	);
}

function sum(steps) {
	const parts = Object.values(steps);
	const total = (name) => parts.reduce((all, part) => all + part[name], 0);
	return { cpuMs: total('cpuMs'), wallMs: total('wallMs') };
}
