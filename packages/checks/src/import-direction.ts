import type { Finding, TextFile } from './finding.js';
import { importsOf, isProgram } from './scripts-in.js';

/** Who may import whom, as decided in docs/decisions; the key is a workspace's folder. Nothing imports an app. */
export const mayImport: Readonly<Record<string, readonly string[]>> = {
	'packages/core': [],
	'packages/formats': ['core'],
	'packages/record': ['core', 'formats'],
	'packages/relay': ['core', 'formats', 'record'],
	'packages/rehearsal': ['core', 'formats'],
	'packages/checks': [],
	'apps/board': ['core', 'formats', 'record', 'rehearsal'],
	'apps/cli': ['core', 'formats', 'record', 'relay', 'rehearsal', 'board'],
	tests: ['core', 'formats', 'record', 'relay', 'rehearsal', 'cli', 'checks'],
};

/** Pure numeric libraries that core may use; nothing else from outside. */
export const numericLibraries: readonly string[] = ['fft.js'];

/** Yjs carries and merges, nothing more: the folders that may see it. Tests may act as a stranger's client. */
export const mayUseYjs: readonly string[] = ['packages/record/src/carrier/', 'packages/relay/src/'];

/** The workspace folder a path lies in. */
export function workspaceOf(path: string): string | undefined {
	return Object.keys(mayImport).find((folder) => path.startsWith(`${folder}/`));
}

const isTest = (path: string): boolean => /(^|\/)(test|tests|bench)\//.test(path) || path.endsWith('.test.ts');

/** Imports against the table: wrong direction, past an entry point, out of the workspace by a relative path. */
export function checkImportDirection(files: readonly TextFile[]): readonly Finding[] {
	return files.filter(isProgram).flatMap((file) => {
		const workspace = workspaceOf(file.path);
		if (workspace === undefined) return [];
		const own = workspace.split('/').at(-1) ?? workspace;
		const allowed = mayImport[workspace] ?? [];
		return importsOf(file).flatMap(({ specifier, line }): Finding[] => {
			const finding = (what: string): Finding[] => [
				{ check: 'import-direction', file: file.path, line, found: `import of ${specifier}`, allowed: what },
			];
			if (specifier.startsWith('.')) {
				const leaves = resolvePath(file.path, specifier).startsWith(`${workspace}/`) === false;
				// The repository's checks look at scripts from outside on purpose.
				return leaves && !(workspace === 'packages/checks' && isTest(file.path))
					? finding(`files of ${workspace}`)
					: [];
			}
			const [scope, name = '', ...topic] = specifier.split('/');
			if (scope !== '@stillmast') return [];
			if (topic.length > 1) return finding('a named entry point (@stillmast/name/topic), nothing deeper');
			const reachable = isTest(file.path) ? [...allowed, own] : allowed;
			return reachable.includes(name)
				? []
				: finding(reachable.map((one) => `@stillmast/${one}`).join(', ') || 'none of ours');
		});
	});
}

/** Yjs outside the carrier, and record's pure part on anything that comes with it. */
export function checkYjsStaysInCarrier(files: readonly TextFile[]): readonly Finding[] {
	return files.filter(isProgram).flatMap((file) => {
		if (isTest(file.path) || mayUseYjs.some((folder) => file.path.startsWith(folder))) return [];
		return importsOf(file)
			.filter(({ specifier }) => specifier === 'yjs' || specifier.startsWith('yjs/'))
			.map(({ specifier, line }) => ({
				check: 'yjs-in-carrier',
				file: file.path,
				line,
				found: `import of ${specifier}`,
				allowed: `only in ${mayUseYjs.join(', ')}`,
			}));
	});
}

/** Folder arithmetic on `/` paths; `x/y.ts` and `../z.js` give `z.js`. */
export function resolvePath(from: string, specifier: string): string {
	const parts = from.split('/').slice(0, -1);
	for (const part of specifier.split('/')) {
		if (part === '..') parts.pop();
		else if (part !== '.') parts.push(part);
	}
	return parts.join('/');
}
