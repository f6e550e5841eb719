// Runs everything: lint, build, types, every workspace's tests (the repository's own checks are one of them), browser tests.
// Ends with one plain line, `N passed, N failed`, and status 1 on any failure or when nothing passed.
import { existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join, relative } from 'node:path';
import { commandScript, root, workspaceFolders } from './places.mjs';
import { closing, missingReport, suiteLine, sumBrowserReport, sumUnitReport } from './reports.mjs';
import { runNode } from './run.mjs';
import { say, stopWithSentence } from './say.mjs';

const startedAtMs = Date.now();
if (!process.stdout.isTTY) {
	// Some tools take any FORCE_COLOR, even 0, for a wish for colour: a log file gets none.
	delete process.env.FORCE_COLOR;
	process.env.NO_COLOR = '1';
}
// Long sizes take hours on two processors; which tests have one stands in docs/how-it-is-tested.md.
if (process.argv.includes('--long')) process.env.STILLMAST_LONG = '1';
const testsFolder = join(root, 'tests');

/** @param {string} file */
function readReport(file) {
	return existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : undefined;
}

/** The workspaces that have tests, each with the place of its report. */
function unitSuites() {
	return workspaceFolders().flatMap((folder) => {
		const manifest = readReport(join(folder, 'package.json'));
		if (manifest?.scripts?.test === undefined) return [];
		return [{ suite: relative(root, folder), report: join(folder, 'test-results', 'unit.json') }];
	});
}

async function lint() {
	say('lint and format ...');
	const { status } = await runNode(commandScript('@biomejs/biome', 'bin', 'biome'), [
		'check',
		'--error-on-warnings',
		'.',
	]);
	return status === 0 ? [] : [missingReport('lint and format')];
}

async function buildAndTest() {
	const suites = unitSuites();
	// A report left by an earlier run must not stand in for one that was never written; kept results are put back by turbo.
	for (const { report } of suites) rmSync(report, { force: true });
	say('build, types and unit tests (the first time takes minutes) ...');
	const turbo = commandScript('turbo', 'bin', 'turbo');
	const options = ['--continue=dependencies-successful', '--output-logs=errors-only', '--log-order=grouped'];
	// As many suites at once as there are processors, so each gets few workers: tests of timing need a machine that answers.
	const processors = availableParallelism();
	const args = ['run', 'build', 'check', 'test', ...options, `--concurrency=${processors}`];
	const env = { VITEST_MAX_WORKERS: String(Math.max(1, Math.floor(processors / 2))) };
	const { status } = await runNode(turbo, args, { env });
	const sums = suites.map(({ suite, report }) => {
		const found = readReport(report);
		return found === undefined ? missingReport(suite) : sumUnitReport(suite, found, startedAtMs);
	});
	const blamed = sums.some((sum) => sum.failed > 0);
	return status === 0 || blamed ? sums : [...sums, missingReport('build and types')];
}

async function browserTests() {
	const folder = join(testsFolder, 'e2e');
	const any =
		existsSync(folder) && readdirSync(folder, { recursive: true }).some((name) => String(name).endsWith('.e2e.ts'));
	if (!any) return [];
	say('browser tests ...');
	const report = join(testsFolder, 'playwright-report', 'e2e.json');
	rmSync(report, { force: true });
	const args = ['test', '--config', join(testsFolder, 'playwright.config.ts')];
	const { status } = await runNode(commandScript('@playwright/test', 'cli.js'), args);
	const found = readReport(report);
	if (found === undefined) return [missingReport('tests (browser)')];
	const sum = sumBrowserReport('tests (browser)', found);
	return [status !== 0 && sum.failed === 0 ? { ...sum, failed: 1 } : sum];
}

try {
	const sums = [...(await lint()), ...(await buildAndTest()), ...(await browserTests())];
	process.stdout.write(`\n${sums.map(suiteLine).join('\n')}\n`);
	process.stdout.write(`whole run ${((Date.now() - startedAtMs) / 60_000).toFixed(2)} min\n`);
	const { line, good } = closing(sums);
	process.stdout.write(`${line}\n`);
	process.exitCode = good ? 0 : 1;
} catch (error) {
	stopWithSentence(error);
}
