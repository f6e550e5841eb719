// What one host does with a working day's load: checks with five devices each, every device two entries a second, all
// on. Prints how long entries took to be stored and to reach the others, the host's memory, and whether the promise held.
// node bench/load.mjs [--checks 30] [--devices 5] [--rate 2] [--seconds 60]
import { parseArgs } from 'node:util';
import { connect } from './parts/clients.mjs';
import { machineBusyS, startOurs } from './parts/hosts.mjs';
import { foundRecord, newPen, writeLot } from './parts/lots.mjs';
import { conditions, quantile } from './parts/report.mjs';

const { values } = parseArgs({
	options: {
		checks: { type: 'string', default: '30' },
		devices: { type: 'string', default: '5' },
		rate: { type: 'string', default: '2' },
		seconds: { type: 'string', default: '60' },
	},
});
const [checks, devices, rate, seconds] = ['checks', 'devices', 'rate', 'seconds'].map((name) => Number(values[name]));
const PROMISED = { storedP95Ms: 150, storedP99Ms: 500, memoryMb: 400 };
const MEMORY_EVERY_MS = 1_000;

console.log(JSON.stringify({ bench: 'load', ...conditions(), ...values }));
const host = await startOurs();
const pen = await newPen();
const storedMs = [];
const reachedMs = [];
let sent = 0;
const writers = [];
for (let check = 0; check < checks; check++) {
	const founded = await foundRecord(pen, []);
	await host.adopt(founded.record, founded.first);
	const lots = [];
	for (let device = 0; device < devices; device++) lots.push(await writeLot(founded, pen, device, rate * seconds));
	for (const [device, lot] of lots.entries()) writers.push(await enter(founded.record, device, lots, lot));
}
await new Promise((resolve) => setTimeout(resolve, 500));

const begun = { atS: performance.now() / 1_000, hostS: host.cpuS(), busyS: machineBusyS() };
let memoryMb = 0;
const watching = setInterval(() => {
	memoryMb = Math.max(memoryMb, host.memoryMb());
}, MEMORY_EVERY_MS);
// every device at a beat of its own, as people are
const beats = writers.map((writer, number) => beat(writer, ((number * 0.618) % 1) * (1_000 / rate)));
await Promise.all(beats);
const all = checks * devices * rate * seconds;
const givenUpMs = performance.now() + 30_000;
while ((storedMs.length < all || reachedMs.length < all * (devices - 1)) && performance.now() < givenUpMs) {
	await new Promise((resolve) => setTimeout(resolve, 50));
}
clearInterval(watching);
const tookS = performance.now() / 1_000 - begun.atS;
const result = {
	sent,
	stored: storedMs.length,
	delivered: reachedMs.length,
	storedMs: percentiles(storedMs),
	reachedMs: percentiles(reachedMs),
	memoryMb: Math.round(Math.max(memoryMb, host.memoryMb())),
	hostCores: Number(((host.cpuS() - begun.hostS) / tookS).toFixed(3)),
	machineCores: Number(((machineBusyS() - begun.busyS) / tookS).toFixed(2)),
	load: conditions().load,
};
await host.stop();
const held =
	result.stored === all &&
	result.storedMs.p95 < PROMISED.storedP95Ms &&
	result.storedMs.p99 < PROMISED.storedP99Ms &&
	result.memoryMb < PROMISED.memoryMb;
console.log(JSON.stringify(result));
console.log(`${held ? 'passed' : 'FAILED'}: ${checks} checks x ${devices} devices x ${rate}/s for ${seconds} s`);
process.exit(held ? 0 : 1);

async function enter(record, own, lots, { chain, frames }) {
	const writer = { sentMs: new Float64Array(frames.length), frames, socket: null };
	lots[own].writer = writer;
	let storedTo = 0;
	writer.socket = await connect(host, record, pen.key, {
		onDelivery(from, index) {
			const since = lots[from]?.writer?.sentMs[index] ?? 0;
			if (since > 0) reachedMs.push(performance.now() - since);
		},
		onStored(of, seq) {
			if (of !== chain) return;
			for (; storedTo < seq; storedTo++) storedMs.push(performance.now() - writer.sentMs[storedTo]);
		},
	});
	return writer;
}

function beat({ sentMs, frames, socket }, firstMs) {
	const startMs = performance.now() + firstMs;
	return new Promise((resolve) => {
		const next = (index) => {
			if (index === frames.length) return resolve();
			sentMs[index] = performance.now();
			socket.send(frames[index]);
			sent += 1;
			setTimeout(() => next(index + 1), startMs + ((index + 1) * 1_000) / rate - performance.now());
		};
		setTimeout(() => next(0), firstMs);
	});
}

function percentiles(list) {
	const at = (share) => Number(quantile(list, share).toFixed(1));
	return { p50: at(0.5), p95: at(0.95), p99: at(0.99), most: at(1) };
}
