import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { auditTable, confusionTable } from './audit-report.js';
import type { AuditTrial } from './audit-trials.js';
import { CELLS } from './cells.js';
import type { Flown } from './convergence.js';
import { chanceTable, convergenceTable, coverageTable, unreachableTable } from './convergence-report.js';
import { inWorkers } from './in-workers.js';
import { choiceSpeed, solveSpeed } from './speed.js';

const SIZES = {
	small: { rotors: 60, instances: 10, solved: 10 },
	full: { rotors: 500, instances: 50, solved: 30 },
} as const;

const { values } = parseArgs({ options: { cells: { type: 'string', default: 'full' }, only: { type: 'string' } } });
const size = values.cells === 'small' ? 'small' : 'full';
const { rotors, instances, solved } = SIZES[size];
const nowMs = () => performance.now();
const startedMs = nowMs();
const say = (line: string) => console.log(`${((nowMs() - startedMs) / 1000).toFixed(0)} s  ${line}`);

function processorMinutes(): number {
	const { user, system } = process.cpuUsage();
	return Math.round((user + system) / 60e6);
}

const sections: string[] = [];
const wants = (part: string) => values.only === undefined || values.only === part;

if (wants('speed')) {
	say('speed of the choice');
	sections.push('## Speed', await choiceSpeed(instances, say), await solveSpeed(solved));
}
if (wants('convergence')) {
	const tasks = CELLS.map(({ id }) => ({ part: 'convergence', id, rotors }) as const);
	const flown = await inWorkers<Flown[]>(tasks, ({ id }) => say(`convergence: ${id}`));
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
	const tasks = shapes.map((id) => ({ part: 'audit', id, rotors }) as const);
	const trials = await inWorkers<AuditTrial[]>(tasks, ({ id }) => say(`audit: ${id}`));
	const results = shapes.map((shape, i) => ({ shape, trials: trials[i]! }));
	sections.push('## Mistakes named by the audit', auditTable(results), confusionTable(results));
}

const root = fileURLToPath(new URL('../../../../../../', import.meta.url));
const commit = execFileSync('git', ['rev-parse', '--short', 'HEAD'], { cwd: root, encoding: 'utf8' }).trim();
const head = [
	'# Bench of the balance methods',
	'',
	`Made by \`npm run bench:balance -w @stillmast/core -- --cells ${size}\` at commit ${commit}, Node ${process.version},`,
	`${cpus()[0]!.model.trim()}, in ${Math.round((nowMs() - startedMs) / 60_000)} min (${processorMinutes()} min of processor time). Every cell is printed, with 95 % intervals. All rotors are invented:`,
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
	writeFileSync(new URL('docs/methods/balance-bench.md', `file://${root}`), text);
	say('written: docs/methods/balance-bench.md');
} else console.log(text);
