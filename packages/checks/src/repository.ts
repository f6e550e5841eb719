import { readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { TextFile } from './finding.js';

/** Made by tools, never committed: the same names as in `.gitignore`, and Git's own folder. */
const madeFolders = new Set(
	'.git node_modules dist build .svelte-kit .turbo test-results playwright-report'.split(' '),
);
const textEnding =
	/(\.(ts|mjs|js|svelte|json|md|css|html|yml|yaml|csv|txt|toml|npmrc|gitignore|webmanifest|svg)|LICENSE|run)$/;

/** The repository this package stands in. */
export function repositoryRoot(): string {
	return join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..');
}

/** Every text file a clone would hold, under 4 MiB, sorted by path. The data folder of a running board is left out. */
export function readRepository(root: string = repositoryRoot()): readonly TextFile[] {
	const files: TextFile[] = [];
	const visit = (folder: string, prefix: string): void => {
		for (const entry of readdirSync(folder, { withFileTypes: true })) {
			const path = prefix === '' ? entry.name : `${prefix}/${entry.name}`;
			const place = join(folder, entry.name);
			if (entry.isDirectory()) {
				if (!madeFolders.has(entry.name) && path !== 'data') visit(place, path);
			} else if (entry.isFile() && textEnding.test(entry.name) && statSync(place).size < 4 * 1024 * 1024) {
				files.push({ path, text: readFileSync(place, 'utf8') });
			}
		}
	};
	visit(root, '');
	return files.sort((a, b) => (a.path < b.path ? -1 : 1));
}
