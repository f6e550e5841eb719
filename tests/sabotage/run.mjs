/*
 * Sabotage: one-line changes that break a promise, each named with the rule whose test must go red. A suite that stays
 * green under one of them proves nothing about that promise.
 *
 *   node tests/sabotage/run.mjs            all
 *   node tests/sabotage/run.mjs "order"    those with this in their name
 *
 * Works on a copy of the sources in a temporary folder, so nothing here is changed. A change is made in the package
 * whose own tests must find it: other packages are used as last built.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');
const wanted = process.argv[2] ?? '';

const patches = readdirSync(join(here, 'patches'))
	.filter((name) => name.endsWith('.json'))
	.flatMap((name) => JSON.parse(readFileSync(join(here, 'patches', name), 'utf8')))
	.filter(({ name }) => name.includes(wanted));

const copy = mkdtempSync(join(tmpdir(), 'stillmast-sabotage-'));
process.exitCode = 1;
try {
	copySources();
	const closing = runAll();
	console.log(closing.text);
	process.exitCode = closing.ok ? 0 : 1;
} finally {
	rmSync(copy, { recursive: true, force: true });
}

function copySources() {
	const left = new Set(['node_modules', 'dist', 'build', 'test-results', '.turbo', '.svelte-kit']);
	const filter = (path) => !left.has(basename(path));
	for (const folder of ['packages', join('tests', 'vectors'), 'demo-scenarios']) {
		cpSync(join(root, folder), join(copy, folder), { recursive: true, filter });
	}
	cpSync(join(root, 'tsconfig.base.json'), join(copy, 'tsconfig.base.json'));
	// Junctions need no rights on Windows; elsewhere the word is not looked at.
	symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'), 'junction');
	for (const name of readdirSync(join(root, 'packages'))) {
		const own = join(root, 'packages', name, 'node_modules');
		if (readdirSync(join(root, 'packages', name)).includes('node_modules')) {
			symlinkSync(own, join(copy, 'packages', name, 'node_modules'), 'junction');
		}
	}
	mkdirSync(join(copy, 'results'));
}

function runAll() {
	const suites = new Map(patches.map(({ red }) => [`${red.package}/${red.test} ${red.rule}`, red]));
	for (const red of suites.values()) {
		const { failed, passed } = runTests(red);
		if (failed.length > 0 || passed === 0) {
			return { ok: false, text: `${red.package}/${red.test} [${red.rule}] is not green before anything is changed` };
		}
	}
	let caught = 0;
	for (const patch of patches) {
		const by = runPatched(patch);
		if (by !== null) caught++;
		console.log(
			`${by === null ? 'MISSED' : 'caught'}  ${patch.name}${by === null ? ` (expected ${patch.red.rule})` : `: ${by}`}`,
		);
	}
	return { ok: caught === patches.length, text: `caught ${caught} of ${patches.length}` };
}

/** Title of the test that went red; null when none did. */
function runPatched({ name, file, find, replace, red }) {
	const path = join(copy, file);
	const text = readFileSync(path, 'utf8');
	if (text.split(find).length !== 2) {
		console.log(`        ${name}: its line is not once in ${relative(copy, path)}`);
		return null;
	}
	writeFileSync(
		path,
		text.replace(find, () => replace),
	);
	try {
		return runTests(red).failed[0] ?? null;
	} finally {
		writeFileSync(path, text);
	}
}

function runTests({ package: folder, test, rule }) {
	const output = join(copy, 'results', 'run.json');
	rmSync(output, { force: true });
	const vitest = join(root, 'node_modules', 'vitest', 'vitest.mjs');
	const args = [vitest, 'run', test, '-t', `\\[${rule}\\]`, '--reporter=json', `--outputFile=${output}`];
	const run = spawnSync(process.execPath, args, { cwd: join(copy, folder), encoding: 'utf8' });
	let report;
	try {
		report = JSON.parse(readFileSync(output, 'utf8'));
	} catch {
		throw new Error(`no report from ${folder}/${test}:\n${run.stdout}${run.stderr}`);
	}
	const tests = report.testResults.flatMap(({ assertionResults }) => assertionResults);
	return {
		failed: tests.filter(({ status }) => status === 'failed').map(({ title }) => title),
		passed: tests.filter(({ status }) => status === 'passed').length,
	};
}
