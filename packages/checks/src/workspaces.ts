import type { Finding, TextFile } from './finding.js';

/** The scripts every workspace answers to, so that one habit works everywhere. */
const libraryScripts: Readonly<Record<string, string>> = {
	build: 'tsc -p tsconfig.build.json',
	check: 'tsc -p tsconfig.json',
	test: 'vitest run --reporter=default --reporter=json --outputFile.json=test-results/unit.json',
};

/** The board is built and checked by its framework's tools; the top-level tests have nothing to build. */
const exceptions: Readonly<Record<string, Readonly<Record<string, string | null>>>> = {
	'apps/board': { build: 'vite build', check: 'svelte-kit sync && svelte-check --fail-on-warnings' },
	tests: { build: null },
};

interface Manifest {
	readonly name?: string;
	readonly private?: boolean;
	readonly type?: string;
	readonly license?: string;
	readonly scripts?: Readonly<Record<string, string>>;
	readonly dependencies?: Readonly<Record<string, string>>;
	readonly devDependencies?: Readonly<Record<string, string>>;
	readonly optionalDependencies?: Readonly<Record<string, string>>;
}

const workspaceManifest = /^(?:(?:packages|apps)\/[^/]+|tests)\/package\.json$/;

/** Same scripts, licence and module kind in every workspace; each dependency pinned to one version, the same everywhere. */
export function checkWorkspaces(files: readonly TextFile[]): readonly Finding[] {
	const manifests = files
		.filter((file) => workspaceManifest.test(file.path) || file.path === 'package.json')
		.map((file) => ({ file: file.path, manifest: JSON.parse(file.text) as Manifest }));
	return [
		...manifests
			.filter(({ file }) => file !== 'package.json')
			.flatMap(({ file, manifest }) => oneManifest(file, manifest)),
		...versions(manifests),
	];
}

function oneManifest(file: string, manifest: Manifest): readonly Finding[] {
	const folder = file.replace('/package.json', '');
	const expected: Readonly<Record<string, string | null>> = { ...libraryScripts, ...exceptions[folder] };
	const found: Finding[] = [];
	const differ = (what: string, is: string | undefined, should: string): void => {
		if (is !== should) found.push({ check: 'workspaces', file, found: `${what} ${is ?? 'missing'}`, allowed: should });
	};
	for (const [name, text] of Object.entries(expected)) {
		if (text !== null) differ(`script ${name}`, manifest.scripts?.[name], text);
	}
	differ('name', manifest.name, `@stillmast/${folder.split('/').at(-1) ?? folder}`);
	differ('type', manifest.type, 'module');
	differ('licence', manifest.license, 'Apache-2.0');
	differ('private', String(manifest.private ?? false), 'true');
	return found;
}

function versions(manifests: readonly { readonly file: string; readonly manifest: Manifest }[]): readonly Finding[] {
	const first = new Map<string, { readonly version: string; readonly file: string }>();
	const found: Finding[] = [];
	for (const { file, manifest } of manifests) {
		const all = { ...manifest.dependencies, ...manifest.devDependencies, ...manifest.optionalDependencies };
		for (const [name, version] of Object.entries(all)) {
			if (!/^\d+\.\d+\.\d+([-+].+)?$/.test(version)) {
				found.push({ check: 'workspaces', file, found: `${name} ${version}`, allowed: 'one exact version' });
			}
			const earlier = first.get(name);
			if (earlier === undefined) first.set(name, { version, file });
			else if (earlier.version !== version) {
				found.push({
					check: 'workspaces',
					file,
					found: `${name} ${version}`,
					allowed: `${earlier.version}, as in ${earlier.file}`,
				});
			}
		}
	}
	return found;
}
