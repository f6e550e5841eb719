/*
 * Sabotage: one-line changes that break a promise, each named with the rule whose test must go red. A suite that stays
 * green under one of them proves nothing about that promise.
 *
 *   node tests/sabotage/run.mjs            all
 *   node tests/sabotage/run.mjs "order"    those with this in their name
 *   node tests/sabotage/run.mjs relay      those of patches/relay.json
 *   node tests/sabotage/run.mjs --resume   goes on where the last run of the same commit was stopped
 *
 * Works on a copy of the sources in a temporary folder, so nothing here is changed. Each test is run once without any
 * change and must be green. A change is made in the package whose own tests must find it: other packages are used as last
 * built. A test that this machine cannot run (no strace, no PostgreSQL) proves nothing here: its changes are counted as
 * skipped.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Copy } from './copy.mjs';
import { Results } from './results.mjs';
import { Suites } from './suites.mjs';

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');
const wanted = process.argv.slice(2).find((word) => !word.startsWith('--')) ?? '';
const results = new Results(root, process.argv.includes('--resume'));

const patches = readdirSync(join(here, 'patches'))
	.filter((name) => name.endsWith('.json'))
	.flatMap((topic) =>
		JSON.parse(readFileSync(join(here, 'patches', topic), 'utf8')).filter(
			({ name }) => topic === `${wanted}.json` || name.includes(wanted),
		),
	);

const copy = new Copy(root);
const suites = new Suites(copy.path);
process.exitCode = 1;
try {
	for (const patch of patches) {
		const outcome = results.of(patch) ?? results.keep(patch, await outcomeOf(patch));
		console.log(`${outcome.how.padEnd(8)}${patch.name}: ${outcome.by}`);
	}
	const count = (how) => patches.filter((patch) => results.of(patch).how === how).length;
	const tried = patches.length - count('skipped');
	console.log(`caught ${count('caught')} of ${tried}${count('skipped') > 0 ? `, ${count('skipped')} skipped` : ''}`);
	if (tried > 0 && count('caught') === tried) process.exitCode = 0;
} finally {
	suites.close();
	copy.remove();
}

/** How a patch fared: `caught` by the title of the test that went red, `MISSED` or `skipped` by the reason. */
async function outcomeOf({ name, red, ...change }) {
	const before = results.before(red) ?? results.keepBefore(red, await suites.run(red, []));
	if (before.failed.length > 0) return missed(`not green before anything is changed: ${before.failed.join(', ')}`);
	if (before.passed === 0 && before.skipped > 0) return { how: 'skipped', by: `${red.test} cannot run here` };
	if (before.passed === 0) return missed(`no test of ${red.rule} in ${red.package}/${red.test}`);
	const after = await copy.while(change, (written) => suites.run(red, written));
	if (after === null) return missed(`its line is not once in ${change.file}`);
	const [by] = after.failed;
	return by === undefined ? missed(`expected ${red.rule} to go red`) : { how: 'caught', by };
}

function missed(by) {
	return { how: 'MISSED', by };
}
