import { accessSync, constants, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { delimiter, dirname, join } from 'node:path';
import { chromiumNote, commandScript, root } from './places.mjs';
import { run, runNode } from './run.mjs';
import { Advice, say } from './say.mjs';

const namesOnPath = [
	'chromium',
	'chromium-browser',
	'google-chrome',
	'google-chrome-stable',
	'chrome.exe',
	'msedge.exe',
];

/** Where installers put a Chromium on macOS and Windows, which have it on no PATH. @returns {string[]} */
function usualPlaces() {
	if (process.platform === 'darwin') {
		const inside = (/** @type {string} */ name) => join('/', 'Applications', `${name}.app`, 'Contents', 'MacOS', name);
		return [inside('Chromium'), inside('Google Chrome'), inside('Microsoft Edge')];
	}
	if (process.platform === 'win32') {
		const folders = [process.env.PROGRAMFILES, process.env['PROGRAMFILES(X86)'], process.env.LOCALAPPDATA];
		return folders.flatMap((folder) =>
			folder === undefined
				? []
				: [
						join(folder, 'Chromium', 'Application', 'chrome.exe'),
						join(folder, 'Google', 'Chrome', 'Application', 'chrome.exe'),
						join(folder, 'Microsoft', 'Edge', 'Application', 'msedge.exe'),
					],
		);
	}
	return [];
}

/** @param {string} path */
function isProgram(path) {
	try {
		accessSync(path, constants.X_OK);
		return true;
	} catch {
		return false;
	}
}

/**
 * A file of the right name may still be a stub that only tells how to get the browser, so it is asked for its version.
 * Not on Windows, where the question opens a window instead of answering.
 * @param {string} path
 */
async function works(path) {
	if (!isProgram(path)) return false;
	if (process.platform === 'win32') return true;
	return (await run(path, ['--version'], { quiet: true, timeoutMs: 20_000 })).status === 0;
}

/** Where the installed Playwright would keep its own browser. */
function playwrightPlace() {
	const require = createRequire(commandScript('@playwright/test', 'package.json'));
	return require('playwright-core').chromium.executablePath();
}

async function firstThatWorks() {
	const onPath = (process.env.PATH ?? '')
		.split(delimiter)
		.filter((folder) => folder !== '')
		.flatMap((folder) => namesOnPath.map((name) => join(folder, name)));
	for (const path of [playwrightPlace(), ...onPath, ...usualPlaces()]) {
		if (await works(path)) return path;
	}
	return undefined;
}

/** Debian and its kin let root, or somebody with a password-free sudo, install the distribution's browser. */
async function installFromDistribution() {
	if (process.platform !== 'linux' || !existsSync(join('/', 'usr', 'bin', 'apt-get'))) return;
	const env = { DEBIAN_FRONTEND: 'noninteractive' };
	const isRoot = process.getuid?.() === 0;
	const apt = (/** @type {string[]} */ args) =>
		isRoot
			? run('apt-get', args, { env, quiet: true })
			: run('sudo', ['-n', 'env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get', ...args], { quiet: true });
	say("installing the distribution's chromium with apt-get ...");
	const install = ['install', '-y', '--no-install-recommends', 'chromium'];
	if ((await apt(install)).status === 0) return;
	// A fresh container has no package lists yet.
	await apt(['update']);
	const second = await apt(install);
	if (second.status !== 0) say(`apt-get could not do it: ${second.output.trim().split('\n').at(-1) ?? ''}`);
}

/** @param {string} path */
function note(path) {
	mkdirSync(dirname(chromiumNote), { recursive: true });
	writeFileSync(chromiumNote, path);
}

/** Finds or installs a Chromium for the end-to-end tests and notes its path; throws advice when there is no way. */
export async function findChromium() {
	const told = process.env.CHROMIUM_PATH;
	if (told !== undefined && told !== '') {
		if (await works(told)) return note(told);
		throw new Advice(
			`CHROMIUM_PATH names ${told}, which does not run as a browser. Correct it, or unset it and run again.`,
		);
	}
	if (existsSync(chromiumNote) && isProgram(readFileSync(chromiumNote, 'utf8'))) return;
	let found = await firstThatWorks();
	if (found === undefined) {
		say('no Chromium here yet; asking Playwright to fetch one ...');
		const script = commandScript('@playwright/test', 'cli.js');
		const fetched = await runNode(script, ['install', 'chromium'], { quiet: true });
		if (fetched.status !== 0) say('Playwright could not fetch it.');
		found = await firstThatWorks();
	}
	if (found === undefined) {
		await installFromDistribution();
		found = await firstThatWorks();
	}
	if (found === undefined) {
		throw new Advice(
			'no Chromium was found and none could be installed. Install Chromium, Chrome or Edge, ' +
				`or set CHROMIUM_PATH to its program file, then run \`npm test\` again (in ${root}).`,
		);
	}
	note(found);
	say(`end-to-end tests will use ${found}`);
}
