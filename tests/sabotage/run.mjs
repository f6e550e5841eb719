/*
 * Sabotage: one-line changes that break a promise, each named with the rule whose test must go red. A suite that stays
 * green under one of them proves nothing about that promise.
 *
 *   node tests/sabotage/run.mjs            all
 *   node tests/sabotage/run.mjs "order"    those with this in their name
 *   node tests/sabotage/run.mjs relay      those of patches/relay.json
 *
 * Works on a copy of the sources in a temporary folder, so nothing here is changed. A change is made in the package
 * whose own tests must find it: other packages are used as last built. Where a package's tests run what was compiled, the
 * changed file is compiled anew. A test that this machine cannot run (no strace, no PostgreSQL) proves nothing here: its
 * changes are counted as skipped.
 */
import { spawnSync } from 'node:child_process';
import {
	cpSync,
	existsSync,
	mkdirSync,
	mkdtempSync,
	readdirSync,
	readFileSync,
	rmSync,
	symlinkSync,
	writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, '..', '..');
const wanted = process.argv[2] ?? '';
/** Packages whose tests run `dist`. */
const COMPILED = ['packages/relay'];

const patches = readdirSync(join(here, 'patches'))
	.filter((name) => name.endsWith('.json'))
	.flatMap((topic) =>
		JSON.parse(readFileSync(join(here, 'patches', topic), 'utf8')).filter(
			({ name }) => topic === `${wanted}.json` || name.includes(wanted),
		),
	);

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
	for (const folder of ['packages', join('apps', 'board'), join('tests', 'vectors'), 'demo-scenarios']) {
		cpSync(join(root, folder), join(copy, folder), { recursive: true, filter });
	}
	for (const folder of COMPILED) cpSync(join(root, folder, 'dist'), join(copy, folder, 'dist'), { recursive: true });
	cpSync(join(root, 'tsconfig.base.json'), join(copy, 'tsconfig.base.json'));
	// Junctions need no rights on Windows; elsewhere the word is not looked at.
	symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'), 'junction');
	const workspaces = readdirSync(join(root, 'packages')).map((name) => join('packages', name));
	for (const folder of [...workspaces, join('apps', 'board')]) {
		const own = join(root, folder, 'node_modules');
		if (existsSync(own)) symlinkSync(own, join(copy, folder, 'node_modules'), 'junction');
	}
	mkdirSync(join(copy, 'results'));
}

function runAll() {
	const suites = new Map(patches.map(({ red }) => [suiteOf(red), red]));
	const notHere = new Set();
	const notGreen = new Set();
	for (const [suite, red] of suites) {
		const { failed, passed, skipped } = runTests(red);
		if (failed.length === 0 && passed === 0 && skipped > 0) notHere.add(suite);
		else if (failed.length > 0 || passed === 0) {
			notGreen.add(suite);
			console.log(`        ${suite} is not green before anything is changed: ${failed.join(', ')}`);
		}
	}
	let caught = 0;
	let skipped = 0;
	for (const patch of patches) {
		if (notHere.has(suiteOf(patch.red))) {
			skipped++;
			console.log(`skipped ${patch.name}: ${patch.red.test} cannot run here`);
			continue;
		}
		const by = notGreen.has(suiteOf(patch.red)) ? null : runPatched(patch);
		if (by !== null) caught++;
		console.log(
			`${by === null ? 'MISSED' : 'caught'}  ${patch.name}${by === null ? ` (expected ${patch.red.rule})` : `: ${by}`}`,
		);
	}
	const tried = patches.length - skipped;
	return {
		ok: tried > 0 && caught === tried,
		text: `caught ${caught} of ${tried}${skipped > 0 ? `, ${skipped} skipped` : ''}`,
	};
}

function suiteOf(red) {
	return `${red.package}/${red.test} ${red.rule}`;
}

/** Title of the test that went red; null when none did. */
function runPatched({ name, file, find, replace, red }) {
	const path = join(copy, file);
	const text = readFileSync(path, 'utf8');
	if (text.split(find).length !== 2) {
		console.log(`        ${name}: its line is not once in ${relative(copy, path)}`);
		return null;
	}
	put(
		file,
		text.replace(find, () => replace),
	);
	try {
		return runTests(red).failed[0] ?? null;
	} finally {
		put(file, text);
	}
}

/** Writes a source and, where tests run what is compiled, what it compiles to. */
function put(file, text) {
	writeFileSync(join(copy, file), text);
	const folder = COMPILED.find((name) => file.startsWith(`${name}/src/`));
	if (folder === undefined) return;
	const options = { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext, verbatimModuleSyntax: true };
	const compiled = ts.transpileModule(text, { compilerOptions: options }).outputText;
	writeFileSync(join(copy, file.replace(`${folder}/src/`, `${folder}/dist/`).replace(/\.ts$/, '.js')), compiled);
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
		skipped: tests.filter(
			({ status, title }) => status !== 'passed' && status !== 'failed' && title.includes(`[${rule}]`),
		).length,
	};
}
