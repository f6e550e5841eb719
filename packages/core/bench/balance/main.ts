import { writeFileSync } from 'node:fs';
import { availableParallelism, cpus, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { auditTable, confusionTable } from './audit-report.js';
import type { AuditTrial } from './audit-trials.js';
import { CELLS } from './cells.js';
import type { Flown } from './convergence.js';
import { chanceTable, convergenceTable, coverageTable, unreachableTable } from './convergence-report.js';
import { commitHere, finishedAt, ROOT } from './finished.js';
import { type BenchTask, inWorkers } from './in-workers.js';
import { choiceSpeed, solveSpeed } from './speed.js';

const SIZES = {
	small: { stretches: 1, rotors: 60, instances: 10, solved: 10 },
	full: { stretches: 5, rotors: 100, instances: 50, solved: 30 },
} as const;
/** Seeds a stretch may use; a multiple of the tails a type has in the bench. */
const SEEDS_PER_STRETCH = 10_000;

const { values } = parseArgs({
	options: {
		cells: { type: 'string', default: 'full' },
		only: { type: 'string' },
		finished: { type: 'boolean', default: false },
		/** Commit whose kept rotors are printed, where nothing since then changes an answer. */
		'rotors-of': { type: 'string' },
	},
});
const size = values.cells === 'small' ? 'small' : 'full';
const { stretches, rotors, instances, solved } = SIZES[size];
const compute = !values.finished;
const startedMs = performance.now();
const say = (line: string) => console.log(`${((performance.now() - startedMs) / 1000).toFixed(0)} s  ${line}`);

const commit = commitHere();
const rotorsOf = values['rotors-of'] ?? commit;
const finished = finishedAt(commit);
const kept = finishedAt(rotorsOf);
const sections: string[] = [];
const wants = (part: string) => values.only === undefined || values.only === part;

/** All stretches of all cells, each cell's together; every cell gets its first stretch before any gets its second. */
async function allOf<T>(part: BenchTask['part'], ids: readonly string[]): Promise<T[][]> {
	const tasks = Array.from({ length: stretches }, (_, n) =>
		ids.map((id): BenchTask => ({ part, id, firstSeed: 1 + SEEDS_PER_STRETCH * n, rotors })),
	).flat();
	const answers = await inWorkers<T[]>(tasks, kept, compute && rotorsOf === commit, ({ id, firstSeed }) =>
		say(`${part}: ${id}, from seed ${firstSeed}`),
	);
	return ids.map((id) => tasks.flatMap((task, i) => (task.id === id ? (answers[i] ?? []) : [])));
}

async function speedSection(): Promise<string> {
	const name = `speed ${size}`;
	const before = finished.read(name) as string | undefined;
	if (before !== undefined) return before;
	if (!compute) return 'Not measured in this run.';
	const load = () => loadavg()[0]!.toFixed(1);
	const loadBefore = load();
	const tables = [await choiceSpeed(instances, say), await solveSpeed(solved)];
	const cores = `${availableParallelism()} cores`;
	const text = [`Load average on ${cores} ${loadBefore} before, ${load()} after.`, ...tables].join('\n\n');
	finished.write(name, text);
	return text;
}

if (wants('speed')) {
	say('speed of the choice');
	sections.push('## Speed', await speedSection());
}
if (wants('convergence')) {
	const flown = await allOf<Flown>(
		'convergence',
		CELLS.map(({ id }) => id),
	);
	const results = CELLS.map((cell, i) => ({ cell, flown: flown[i]! }));
	sections.push(
		'## Corrections until every reading is inside its goal of 0.1 ips',
		convergenceTable(results),
		'## Intervals of the next reading',
		coverageTable(results),
		'## Stated chance that all readings are inside',
		chanceTable(results),
		'## The part no allowed change removes',
		unreachableTable(results),
	);
}
if (wants('audit')) {
	const shapes = ['three-blade', 'five-blade', 'tail', 'two-blade'] as const;
	const trials = await allOf<AuditTrial>('audit', shapes);
	const results = shapes.map((shape, i) => ({ shape, trials: trials[i]! }));
	sections.push('## Mistakes named by the audit', auditTable(results), confusionTable(results));
}

const head = [
	'# Bench of the balance methods',
	'',
	`Made by \`npm run bench:balance -w @stillmast/core -- --cells ${size}\` at commit ${rotorsOf}${rotorsOf === commit ? '' : ` (speed: ${commit})`}, Node ${process.version},`,
	`${cpus()[0]!.model.trim()}, ${stretches * rotors} rotors a cell unless the row says otherwise. Every cell is printed, with 95 % intervals. All rotors are invented:`,
	'what they are is in `packages/core/bench/balance/`, which shares nothing with the solver but the contract. Targets are',
	'those the project set itself before the solver was written.',
	'',
	'- *mild, wrong, bad*: sd of a coefficient against the table 15 % and 15°, 30 % and 30°, 45 % and 50°, of which 75 % of the',
	'  variance is common to a kind, 17 % a channel’s own, 8 % an adjuster’s own (the solver assumes 80, 15, 5).',
	'- scatter from run to run 0.01 ips and 5 % of the level per axis, 30 % of it common to the run; tabs spring back by 0.2°.',
	'- *half stated*: the problem states half of the true error size. *remainder*: sd per axis in ips of what no adjuster makes',
	'  (0.01 elsewhere). *hidden defect*: 0.5 ips in one channel that no adjuster reaches, so nobody gets inside.',
	'- *fleet*: tails of a type differ by 10 % and 8°; the prior comes from 20 earlier tails corrected the same way;',
	'  intervals there count types, not tails.',
	'- strategies: the *fixed table* repeats the table on the last readings, *learning* is `solveRotor`, the *oracle* knows the',
	'  true coefficients and the last readings. A rotor not inside after ten corrections counts as *never* and as ten.',
	'',
].join('\n');
const text = `${[head, ...sections].join('\n\n').replace(/\n{3,}/g, '\n\n')}\n`;
if (values.only === undefined) {
	writeFileSync(new URL('docs/methods/balance-bench.md', `file://${ROOT}`), text);
	say('written: docs/methods/balance-bench.md');
} else console.log(text);
