// Does one more entry cost the same in a small record and in a large one? Writes a record, and at each size measures
// 300 more entries one by one, by the pen itself and late from somebody who was away, the state kept up after each.
// Build first; then node bench/append.mjs [--sizes 10000,20000,40000,80000]
// Processor time of the process in µs an entry, the median of ten lots of 30; the greatest lot in brackets.
import { parseArgs } from 'node:util';
import { Folding } from '../dist/fold/index.js';
import { EntrySet } from '../dist/set/index.js';
import { ChainWriter } from '../dist/writer/index.js';
import { must, saying, writeRecord } from './parts/crew.mjs';
import { conditions, median } from './parts/report.mjs';

const { values } = parseArgs({ options: { sizes: { type: 'string', default: '10000,20000,40000,80000' } } });
const LOTS = 10;
const LOT = 30;

console.log(JSON.stringify({ bench: 'append', ...conditions(), ...values }));
for (const size of values.sizes.split(',').map(Number)) await measure(size);
console.log(JSON.stringify({ ended: conditions().load }));

async function measure(size) {
	const { record, entries, late, pen } = await writeRecord(size);
	const set = new EntrySet(record, entries);
	const folding = new Folding(set);
	folding.state();
	const writer = new ChainWriter(set, pen);
	const n = { next: size };
	const write = () => writer.write(...saying(n.next++));
	// what a fresh process does slowly at first is not what is asked here
	for (let warm = 0; warm < 100; warm++) {
		must(await write());
		folding.state();
	}
	const signed = await lots(async () => must(await write()));
	folding.state();
	const kept = await lots(async () => {
		must(await write());
		folding.state();
	});
	let at = 0;
	const came = await lots(async () => {
		set.add(late[at++]);
		folding.state();
	});
	const line = (costs) => `${median(costs).toFixed(0)} (${Math.max(...costs).toFixed(0)})`;
	console.log(
		`${size} entries: write and sign ${line(signed)}, with the state kept up ${line(kept)}, late and state ${line(came)} µs`,
	);
}

async function lots(work) {
	const costs = [];
	for (let lot = 0; lot < LOTS; lot++) {
		const before = process.cpuUsage();
		for (let one = 0; one < LOT; one++) await work();
		const spent = process.cpuUsage(before);
		costs.push((spent.user + spent.system) / LOT);
	}
	return costs;
}
