// What a second relay on one PostgreSQL database adds: the same rooms on SQLite, on one relay with PostgreSQL, and on two
// relays with half of every room's devices each. The database itself is made in a folder of its own and thrown away.
// node bench/two-relays.mjs [--rooms 20] [--devices 4] [--entries 8000] [--rounds 2]
import { parseArgs } from 'node:util';
import { startOurs } from './parts/hosts.mjs';
import { foundRecord, newPen, writeLot } from './parts/lots.mjs';
import { startDatabase } from './parts/postgres.mjs';
import { conditions, spread } from './parts/report.mjs';
import { saturate } from './parts/saturate.mjs';

const { values } = parseArgs({
	options: {
		rooms: { type: 'string', default: '20' },
		devices: { type: 'string', default: '4' },
		entries: { type: 'string', default: '8000' },
		rounds: { type: 'string', default: '2' },
	},
});
const [roomCount, devices, entries, rounds] = ['rooms', 'devices', 'entries', 'rounds'].map((n) => Number(values[n]));
const WINDOW_OF_ROOM = 16;

console.log(JSON.stringify({ bench: 'two-relays', ...conditions(), ...values }));
const pen = await newPen();
const rooms = [];
for (let number = 0; number < roomCount; number++) {
	const founded = await foundRecord(pen, []);
	const lots = [];
	for (let device = 0; device < devices; device++) {
		lots.push(await writeLot(founded, pen, device, Math.ceil(entries / roomCount / devices)));
	}
	rooms.push({ ...founded, lots });
}
const database = await startDatabase();
const ways = {
	'one relay, SQLite': async () => [await startOurs()],
	'one relay, PostgreSQL': async () => [await startOurs({ database: await database.fresh() })],
	'two relays, PostgreSQL': async () => {
		const address = await database.fresh();
		return [await startOurs({ database: address }), await startOurs({ database: address })];
	},
};
const runs = Object.fromEntries(Object.keys(ways).map((way) => [way, []]));
for (let round = 0; round < rounds; round++) {
	for (const [way, start] of Object.entries(ways)) {
		const hosts = await start();
		for (const { record, first } of rooms) await hosts[0].adopt(record, first);
		const run = await saturate(hosts, pen.key, rooms, WINDOW_OF_ROOM);
		for (const host of hosts) await host.stop();
		runs[way].push(run);
		console.log(JSON.stringify({ way, round, perSecond: Math.round(run.perSecond) }));
	}
}
await database.stop();
for (const [way, all] of Object.entries(runs)) {
	const of = (name, digits = 0) =>
		spread(
			all.map((run) => run[name]),
			digits,
		);
	console.log(
		`${way}: ${of('perSecond')} entries/s, ${of('cpuUsPerUpdate')} µs of the relays' processor time an entry (the database's not counted), ${of('memoryMb')} MB`,
	);
}
console.log(JSON.stringify({ ended: conditions().load }));
process.exit(0);
