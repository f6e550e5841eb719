// How many signed entries a second one host takes, proves, passes on and keeps, everything on, flushed to disk.
// node bench/saturation.mjs [--clients 2] [--entries 12000]: after a build; the host is a process of its own, the
// writers share this one, so the rate is that of the pair. Entries are signed before the clock starts.
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { addEntries, createCarrier } from '@stillmast/record/carrier';
import { createKey, openKey } from '@stillmast/record/pen';
import { EntrySet } from '@stillmast/record/set';
import { decodeMessage, encodeMessage, offeredProtocols, syncPath, ticketText } from '@stillmast/record/wire';
import { ChainWriter, openRecord } from '@stillmast/record/writer';
import { WebSocket } from 'ws';

/** Updates that one writer has under way. */
const OUTSTANDING = 128;

if (process.argv[2] === 'host') await host(process.argv[3]);
else await bench();

async function host(folder) {
	const { startRelay } = await import('../dist/index.js');
	const free = { perSecond: 1e12, burst: 1e12 };
	const limits = { frames: free, bytes: free, nonces: { burst: 1e6, perMinute: 1e6 } };
	const relay = await startRelay({ port: 0, dataDir: folder, log: () => undefined, limits });
	process.on('message', async (message) => {
		if (message === 'stop') {
			await relay.stop();
			process.exit(0);
		}
		if (message !== 'cost') await relay.adopt(message.record, message.entries);
		process.send({ cpu: process.cpuUsage(), memory: process.memoryUsage.rss() });
	});
	process.send({ url: relay.url, publicKey: relay.publicKey });
}

async function bench() {
	const { values } = parseArgs({ options: { clients: { type: 'string' }, entries: { type: 'string' } } });
	const clients = Number(values.clients ?? 2);
	const each = Math.floor(Number(values.entries ?? 12_000) / clients);
	const folder = await mkdtemp(join(tmpdir(), 'stillmast-bench-'));
	const child = fork(fileURLToPath(import.meta.url), ['host', folder], { serialization: 'advanced' });
	const ask = async (message) => {
		child.send(message);
		return (await once(child, 'message'))[0];
	};
	const [{ url, publicKey }] = await once(child, 'message');
	const random = (length) => crypto.getRandomValues(new Uint8Array(length));
	const clock = { nowMs: Date.now, upMs: () => Math.round(performance.now()), clock: () => null };
	const pen = { key: openKey(await createKey(random)), random, clock, unlocked: 'by-code' };
	const { set, writer } = must(await openRecord(pen, opening()));
	must(await writer.write('enrolled', { publicKey, role: 'host', name: 'host', invite: null }));
	await ask({ record: set.record, entries: [...set.inOrder()] });

	const lots = [];
	for (let index = 0; index < clients; index++)
		lots.push(await lot(new EntrySet(set.record, set.inOrder()), pen, each));
	const sockets = [];
	for (let index = 0; index < clients; index++) sockets.push(await enter(url, set.record, pen.key));
	const before = await ask('cost');
	const startedMs = performance.now();
	const deliveries = (
		await Promise.all(sockets.map((socket, index) => run(socket, lots[index], each * (clients - 1))))
	).reduce((a, b) => a + b);
	const tookMs = performance.now() - startedMs;
	const after = await ask('cost');
	child.send('stop');
	await once(child, 'exit');
	await rm(folder, { recursive: true, force: true });
	const cpuUs = after.cpu.user + after.cpu.system - before.cpu.user - before.cpu.system;
	const entries = each * clients;
	console.log(
		JSON.stringify({
			clients,
			entries,
			entriesPerSecond: Math.round((entries / tookMs) * 1_000),
			deliveries,
			hostCpuUsPerEntry: Math.round(cpuUs / entries),
			hostCpuUsPerDelivery: Math.round((cpuUs / Math.max(1, deliveries)) * 10) / 10,
			hostMemoryMb: Math.round(after.memory / 1e6),
			node: process.version,
			cores: cpus().length,
		}),
	);
}

/** Frames of one writer, as its device would send them one after the other, and the chain they belong to. */
async function lot(set, pen, count) {
	const writer = new ChainWriter(set, pen);
	const doc = createCarrier();
	const frames = [];
	doc.on('update', (update) => frames.push(encodeMessage({ type: 'sync-update', update })));
	for (let index = 0; index < count; index++) {
		const reading = { flight: 1, run: 1, subject: 'torquePct', value: index % 100, unit: '%' };
		addEntries(doc, [must(await writer.write('reading', reading))]);
	}
	return { chain: writer.chain, frames };
}

/** Sends a lot, never more than OUTSTANDING ahead of what is stored, until all of the others' has come as well. */
function run(socket, { chain, frames }, expected) {
	let sent = 0;
	let stored = 0;
	let others = 0;
	const pump = () => {
		while (sent < frames.length && sent - stored < OUTSTANDING) socket.send(frames[sent++]);
	};
	return new Promise((resolve) => {
		socket.on('message', (data) => {
			if (data[0] === 0) others += 1;
			else if (data[0] === 101) note(data);
			if (stored >= frames.length && others >= expected) resolve(others);
			pump();
		});
		pump();
	});

	function note(data) {
		for (const head of must(decodeMessage(new Uint8Array(data))).heads) if (head[0] === chain) stored = head[1];
	}
}

async function enter(url, record, key) {
	const post = async (path, body) =>
		(
			await fetch(url + path, {
				method: 'POST',
				headers: { 'content-type': 'application/json' },
				body: JSON.stringify(body),
			})
		).json();
	const { nonce } = await post('/api/nonce', {});
	const sig = await key.sign(ticketText(new URL(url).host, record, nonce));
	const { ticket } = await post('/api/ticket', { record, publicKey: key.publicKey, nonce, sig });
	const address = url.replace('http', 'ws') + syncPath(record);
	const socket = new WebSocket(address, offeredProtocols(ticket), { origin: url });
	await once(socket, 'open');
	return socket;
}

function opening() {
	const aircraft = { registration: 'ZZ-OUZ', type: 'Ouzel 3', serial: '7' };
	const hash = 'A'.repeat(43);
	return { purpose: 'flight', role: 'engineer', name: 'bench', aircraft, card: hash, typeData: hash };
}

function must(result) {
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}
