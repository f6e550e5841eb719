// How soon the other device sees an entry: A writes at a steady pace, B listens; our relay with everything on beside the
// stock server, interleaved. node bench/latency.mjs [--rate 300] [--entries 3000] [--rounds 3] [--stock FOLDER]
import { parseArgs } from 'node:util';
import { connect } from './parts/clients.mjs';
import { startOurs, startStock } from './parts/hosts.mjs';
import { foundRecord, newPen, writeLot } from './parts/lots.mjs';
import { conditions, median, quantile } from './parts/report.mjs';

const { values } = parseArgs({
	options: {
		rate: { type: 'string', default: '300' },
		entries: { type: 'string', default: '3000' },
		rounds: { type: 'string', default: '3' },
		stock: { type: 'string' },
	},
});
const [rate, entries, rounds] = ['rate', 'entries', 'rounds'].map((name) => Number(values[name]));
/** What a process that has just begun does slowly is sent and not counted. */
const WARM_UP = 0.2;
const starts = { ours: () => startOurs(), peer: () => startStock(values.stock) };

console.log(JSON.stringify({ bench: 'latency', ...conditions(), ...values }));
const pen = await newPen();
const founded = await foundRecord(pen, []);
const lot = await writeLot(founded, pen, 0, entries);
const runs = { ours: [], peer: [] };
for (let round = 0; round < rounds; round++) {
	for (const [kind, start] of Object.entries(starts)) {
		const host = await start();
		if (host.ours) await host.adopt(founded.record, founded.first);
		const lagsMs = await play(host);
		await host.stop();
		const run = { p50: quantile(lagsMs, 0.5), p99: quantile(lagsMs, 0.99) };
		runs[kind].push(run);
		console.log(JSON.stringify({ round, kind, p50: run.p50.toFixed(2), p99: run.p99.toFixed(2), n: lagsMs.length }));
	}
}
const of = (kind, name) => median(runs[kind].map((run) => run[name]));
for (const name of ['p50', 'p99']) {
	const [ours, peer] = [of('ours', name), of('peer', name)];
	console.log(`${name}: ours ${ours.toFixed(2)} ms, peer ${peer.toFixed(2)} ms, ${(ours / peer).toFixed(2)} x`);
}
console.log(JSON.stringify({ ended: conditions().load }));
process.exit(0);

async function play(host) {
	const sentMs = new Float64Array(entries);
	const lagsMs = [];
	const first = Math.floor(entries * WARM_UP);
	let left = entries;
	let done = () => undefined;
	const finished = new Promise((resolve) => {
		done = resolve;
	});
	const writer = await connect(host, founded.record, pen.key, { onDelivery: () => undefined });
	const reader = await connect(host, founded.record, pen.key, {
		onDelivery(_writer, index) {
			if (index >= first) lagsMs.push(performance.now() - sentMs[index]);
			left -= 1;
			if (left === 0) done();
		},
	});
	await new Promise((resolve) => setTimeout(resolve, 300));
	const startMs = performance.now();
	for (let index = 0; index < entries; index++) {
		const waitMs = startMs + (index * 1_000) / rate - performance.now();
		if (waitMs > 0) await new Promise((resolve) => setTimeout(resolve, waitMs));
		sentMs[index] = performance.now();
		writer.send(lot.frames[index]);
	}
	await finished;
	writer.terminate();
	reader.terminate();
	return lagsMs;
}
