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

/** What is data and no program may be read from these folders by anybody. */
const sharedData = /^(?:tests\/vectors|tests\/data|demo-scenarios|docs)\/.+\.(?:json|csv|md)(?:\?raw)?$/;

/** Imports against the table: wrong direction, past an entry point, out of the workspace by a relative path. */
export function checkImportDirection(files: readonly TextFile[]): readonly Finding[] {
	const paths = new Set(files.map((file) => file.path));
	return files.filter(isProgram).flatMap((file) => {
		const workspace = workspaceOf(file.path);
		if (workspace === undefined) return [];
		return importsOf(file).flatMap(({ specifier, line }): Finding[] => {
			const allowed = specifier.startsWith('.')
				? complaintAboutRelative(file.path, specifier, workspace)
				: complaintAboutOurs(file.path, specifier, workspace, paths);
			const found = `import of ${specifier}`;
			return allowed === undefined ? [] : [{ check: 'import-direction', file: file.path, line, found, allowed }];
		});
	});
}

function complaintAboutRelative(from: string, specifier: string, workspace: string): string | undefined {
	const path = resolvePath(from, specifier);
	if (path.startsWith(`${workspace}/`) || sharedData.test(path)) return undefined;
	return `files of ${workspace}, and data of tests/vectors, tests/data, demo-scenarios and docs`;
}

function complaintAboutOurs(
	from: string,
	specifier: string,
	workspace: string,
	paths: ReadonlySet<string>,
): string | undefined {
	const [scope, name = '', ...topic] = specifier.split('/');
	if (scope !== '@stillmast') return undefined;
	const own = workspace.split('/').at(-1) ?? workspace;
	const reachable = [...(mayImport[workspace] ?? []), ...(isTest(from) ? [own] : [])];
	if (!reachable.includes(name)) return reachable.map((one) => `@stillmast/${one}`).join(', ') || 'none of ours';
	if (topic.length < 2 || paths.has(`packages/${name}/src/${topic.join('/')}/index.ts`)) return undefined;
	return 'a named entry point: a topic with its own index.ts';
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
