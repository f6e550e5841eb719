import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The repository's top folder, wherever the command was called from. */
export const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/** Holds the path of the browser that setup found; Playwright's configuration reads it. */
export const chromiumNote = join(root, 'node_modules', '.cache', 'chromium-path');

/**
 * The script behind an installed package's command, to be run by `process.execPath`: no shell, no `.cmd` on Windows.
 * @param {string} packageName @param {...string} parts path inside the package
 */
export function commandScript(packageName, ...parts) {
	const manifest = createRequire(join(root, 'tests', 'package.json')).resolve(`${packageName}/package.json`);
	return join(dirname(manifest), ...parts);
}

/** The folders named by the root's `workspaces`, `x/*` read as every folder in x. @returns {string[]} */
export function workspaceFolders() {
	const { workspaces } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
	return workspaces.flatMap((/** @type {string} */ pattern) => {
		const parts = pattern.split('/');
		if (parts.at(-1) !== '*') return [join(root, ...parts)];
		const parent = join(root, ...parts.slice(0, -1));
		return readdirSync(parent).map((name) => join(parent, name));
	});
}
