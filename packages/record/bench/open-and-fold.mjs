/*
 * What opening and keeping up a record costs. Build first (`npx turbo run build --filter=@stillmast/record`), then
 * `node packages/record/bench/open-and-fold.mjs [entries]`. Times are CPU time of this process in ms, so that other
 * work on the machine counts less; wall time stands beside them.
 */
import { randomFillSync } from 'node:crypto';
import {
	admitEntry,
	ChainWriter,
	canonicalJson,
	createKey,
	EntrySet,
	Folding,
	openKey,
	openRecord,
	prove,
} from '../dist/index.js';

const count = Number(process.argv[2] ?? 10_000);
const random = (length) => randomFillSync(new Uint8Array(length));
const clock = {
	nowMs: Date.now,
	upMs: () => performance.now(),
	clock: () => ({ offsetMs: 12.5, errorMs: 4, ageS: 3 }),
};
const options = async () => ({ key: openKey(await createKey(random)), random, clock, unlocked: 'by-code' });
const must = (result) => {
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
};

function reading(i) {
	const place = { flight: 1 + Math.floor(i / 500), run: 1 };
	return i % 3 === 0
		? ['reading', { ...place, subject: `field-${i % 300}`, value: i, unit: '%' }]
		: [
				'vibration',
				{ ...place, rotor: 'main', channel: `regime-${i % 40}/lat`, amplitudeIps: (i % 90) / 100, phaseDeg: i % 360 },
			];
}

/** Five people on one record, `entries` entries, and two more who were away and write 2 000 in all. */
async function write(entries) {
	const hash = 'A'.repeat(43);
	const aircraft = { registration: 'ZZ-TST', type: 'Ouzel 3', serial: '' };
	const first = await options();
	const fields = { purpose: 'flight', role: 'engineer', name: 'one', aircraft, card: hash, typeData: hash };
	const { set, writer } = must(await openRecord(first, fields));
	const others = await Promise.all([1, 2, 3, 4, 5, 6].map(options));
	for (const { key } of others) {
		must(await writer.write('enrolled', { publicKey: key.publicKey, role: 'engineer', name: 'x', invite: null }));
	}
	const away = new EntrySet(set.record, set.inOrder());
	const hands = [writer, ...others.slice(0, 4).map((one) => new ChainWriter(set, one))];
	for (let i = 0; i < entries; i++) must(await hands[i % 5].write(...reading(i)));
	const awayHands = others.slice(4).map((one) => new ChainWriter(away, one));
	const known = away.size;
	for (let i = 0; i < 2000; i++) must(await awayHands[i % 2].write(...reading(i)));
	return { record: set.record, texts: set.inOrder().map(canonicalJson), late: away.arrivedSince(known) };
}

function watch() {
	let cpu = process.cpuUsage();
	let wall = performance.now();
	return (name) => {
		const spent = process.cpuUsage(cpu);
		const took = performance.now() - wall;
		console.log(
			`${name.padEnd(44)} cpu ${((spent.user + spent.system) / 1000).toFixed(1).padStart(8)}  wall ${took.toFixed(1).padStart(8)}`,
		);
		cpu = process.cpuUsage();
		wall = performance.now();
		return took;
	};
}

const { record, texts, late } = await write(count);
console.log(
	`${texts.length} signed entries, ${(texts.reduce((sum, text) => sum + text.length, 0) / texts.length).toFixed(0)} bytes each`,
);
const lap = watch();
const entries = texts.map((text) => must(admitEntry(JSON.parse(text))));
lap('parse, judge envelopes, check all hashes');
const set = new EntrySet(record, entries);
lap('put into a set');
const { proved } = await prove(set);
if (proved.size !== texts.length) throw new Error('not all proved');
lap('one signature a chain');
const folding = new Folding(set);
folding.state();
lap('fold');
const singles = late.slice(0, 200);
const tookMs = [];
for (const entry of singles) {
	const begunMs = performance.now();
	set.add(entry);
	folding.state();
	tookMs.push(performance.now() - begunMs);
}
tookMs.sort((a, b) => a - b);
lap(`200 late entries, one by one`);
console.log(`one late entry: median ${tookMs[100].toFixed(2)} ms, p95 ${tookMs[190].toFixed(2)} ms`);
for (const entry of late.slice(200)) set.add(entry);
folding.state();
lap(`${late.length - 200} late entries at once`);
const whole = must(await appendAll());
lap(`${whole} appended one by one with the state kept up`);

async function appendAll() {
	const writer = new ChainWriter(set, await options());
	for (let i = 0; i < 300; i++) {
		must(await writer.write(...reading(i)));
		folding.state();
	}
	return { ok: true, value: 300 };
}
