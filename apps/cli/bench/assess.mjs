// Reads a trace of three hours at 50 Hz with eight channels against sixteen lines, as `stillmast assess` does, and says
// how fast: bytes per second of processor time (so that other work on the machine does not count), and memory.
import { createReadStream, createWriteStream } from 'node:fs';
import { mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { findingsOf, limitsFrom } from '../dist/assess/answer.js';

const hours = 3;
const hz = 50;
const channels = ['torquePct', 'totC', 'ngPct', 'rotorRpmPct', 'iasKt', 'altitudeFt', 'fuelKg', 'oilBar'];

const folder = await mkdtemp(join(tmpdir(), 'assess-'));
try {
	const file = join(folder, 'trace.csv');
	await writeTrace(file);
	const { size } = await stat(file);
	const limits = limitsFrom(new TextEncoder().encode(JSON.stringify(sixteenLines())));
	if (!limits.ok) throw new Error(JSON.stringify(limits.problem));
	const before = process.cpuUsage();
	const findings = await findingsOf(limits.value, createReadStream(file, { highWaterMark: 1 << 18 }));
	const { user, system } = process.cpuUsage(before);
	if (!findings.ok) throw new Error(JSON.stringify(findings.problem));
	const cpuS = (user + system) / 1e6;
	const cells = hours * 3600 * hz * channels.length;
	console.log(
		JSON.stringify({
			sizeMB: round(size / 1e6),
			cells,
			cpuS: round(cpuS),
			mbPerS: round(size / 1e6 / cpuS),
			memoryMB: Math.round(process.resourceUsage().maxRSS / 1024),
			episodes: findings.value.episodes.length,
			node: process.version,
		}),
	);
} finally {
	await rm(folder, { recursive: true, force: true });
}

async function writeTrace(file) {
	const out = createWriteStream(file);
	out.write(`timeS,${channels.join(',')}\n`);
	for (let row = 0; row < hours * 3600 * hz; row++) {
		const t = row / hz;
		const cells = channels.map((_, at) => (80 + 15 * Math.sin(t / (20 + 7 * at)) + at).toFixed(2));
		if (!out.write(`${t.toFixed(2)},${cells.join(',')}\n`)) await new Promise((done) => out.once('drain', done));
	}
	await new Promise((done) => out.end(done));
}

function sixteenLines() {
	const parameters = channels.map((id, at) => ({
		id,
		unit: '%',
		slewPerSecond: 40,
		lines: [
			{ id: `${id}-never`, above: 98 + at, maxSeconds: 0, when: { iasKt: { atLeast: 84 } }, reference: 'invented' },
			{ id: `${id}-timed`, above: 90 + at, maxSeconds: 5, reference: 'invented' },
		],
	}));
	return { format: 'stillmast/limits@1', parameters };
}

function round(value) {
	return Math.round(value * 100) / 100;
}
