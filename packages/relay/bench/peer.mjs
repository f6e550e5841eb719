// Our relay beside the stock y-websocket server of the yjs 13 line (in memory, nothing checked), same signed entries,
// runs of both interleaved. Never part of the tests: a rate says as much about the machine as about the host.
// node bench/peer.mjs [--rows 1x20,1x100,200x3] [--kinds ours,unsigned,peer] [--rounds 3] [--entries 12000] [--stock FOLDER]
// `--stock FOLDER`: where the stock server is installed (npm i @y/websocket-server@0.1.1 yjs@13.6.33); without, a plain
// stand-in with the same behaviour on a newer ws.
import { parseArgs } from 'node:util';
import { startOurs, startStock } from './parts/hosts.mjs';
import { foundRecord, newPen, writeLot } from './parts/lots.mjs';
import { conditions, median, spread } from './parts/report.mjs';
import { saturate } from './parts/saturate.mjs';

const { values } = parseArgs({
	options: {
		rows: { type: 'string', default: '1x20,1x100,200x3' },
		kinds: { type: 'string', default: 'ours,unsigned,peer' },
		rounds: { type: 'string', default: '3' },
		entries: { type: 'string', default: '12000' },
		stock: { type: 'string' },
		'node-args': { type: 'string', default: '' },
	},
});
/** For our hosts, such as `--cpu-prof`. */
const nodeArgs = values['node-args'].split(' ').filter(Boolean);
const starts = {
	ours: () => startOurs({ nodeArgs }),
	unsigned: () => startOurs({ signatures: false, nodeArgs }),
	peer: () => startStock(values.stock),
};
const kinds = values.kinds.split(',');
console.log(JSON.stringify({ bench: 'peer', ...conditions(), ...values }));
for (const row of values.rows.split(',')) await benchRow(row);
console.log(JSON.stringify({ ended: conditions().load }));
process.exit(0);

async function benchRow(row) {
	const [roomCount, devices] = row.split('x').map(Number);
	const pen = await newPen();
	const each = Math.ceil(Number(values.entries) / (roomCount * devices));
	const windowOfRoom = roomCount === 1 ? 256 : 4;
	const rooms = [];
	for (let number = 0; number < roomCount; number++) {
		const founded = await foundRecord(pen, []);
		const lots = [];
		for (let writer = 0; writer < devices; writer++) lots.push(await writeLot(founded, pen, writer, each));
		rooms.push({ ...founded, lots });
	}
	const runs = Object.fromEntries(kinds.map((kind) => [kind, []]));
	for (let round = 0; round < Number(values.rounds); round++) {
		for (const kind of kinds) {
			const host = await starts[kind]();
			if (host.ours) for (const { record, first } of rooms) await host.adopt(record, first);
			const run = await saturate([host], pen.key, rooms, windowOfRoom);
			await host.stop();
			runs[kind].push(run);
			console.log(JSON.stringify({ row, kind, round, ...rounded(run) }));
		}
	}
	for (const kind of kinds) console.log(summary(row, kind, runs));
}

function summary(row, kind, runs) {
	const of = (name, which = kind) => runs[which].map((run) => run[name]);
	const against = runs.peer && kind !== 'peer' ? ratios(of, kind) : '';
	return `${row} ${kind}: ${spread(of('perSecond'))} updates/s, ${spread(of('cpuUsPerDelivery'), 1)} µs of processor time a delivery to another device${against}`;
}

function ratios(of, kind) {
	const ratio = (name) => (median(of(name)) / median(of(name, 'peer'))).toFixed(2);
	const strict = (
		median(of('cpuUsPerDeliveryWithEcho', kind)) / median(of('cpuUsPerDeliveryWithEcho', 'peer'))
	).toFixed(2);
	return `; rate ${ratio('perSecond')} x peer, cost ${ratio('cpuUsPerDelivery')} x (${strict} x with the peer's echo to the sender counted as a delivery)`;
}

function rounded(run) {
	return Object.fromEntries(Object.entries(run).map(([name, value]) => [name, Number(value.toPrecision(4))]));
}
