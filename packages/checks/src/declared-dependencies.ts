import type { Finding, TextFile } from './finding.js';
import { workspaceOf } from './import-direction.js';
import { importsOf, isProgram } from './scripts-in.js';

/** Names that the board's framework provides and no manifest lists. */
const provided = /^(node:|\$app\/|\$lib\b|\$env\/|\$service-worker$|virtual:)/;

/** The board is bundled, so what it imports need not be installed beside it. */
const bundled: readonly string[] = ['apps/board'];

type Dependencies = Readonly<Record<string, string>>;

/** Every package imported by name stands in the workspace's own manifest; what is shipped imports no development tool. */
export function checkDeclaredDependencies(files: readonly TextFile[]): readonly Finding[] {
	const manifests = new Map(
		files
			.filter((file) => file.path.endsWith('/package.json'))
			.map((file) => [
				file.path.slice(0, -'/package.json'.length),
				JSON.parse(file.text) as {
					readonly name: string;
					readonly dependencies?: Dependencies;
					readonly devDependencies?: Dependencies;
				},
			]),
	);
	return files.filter(isProgram).flatMap((file) => {
		const workspace = workspaceOf(file.path);
		const manifest = workspace === undefined ? undefined : manifests.get(workspace);
		if (workspace === undefined || manifest === undefined) return [];
		const shipped = file.path.startsWith(`${workspace}/src/`) && !bundled.includes(workspace);
		const declared = { ...manifest.dependencies, ...(shipped ? {} : manifest.devDependencies) };
		return importsOf(file)
			.filter(({ specifier }) => !specifier.startsWith('.') && !provided.test(specifier))
			.map(({ specifier, line }) => ({ name: packageName(specifier), line }))
			.filter(({ name }) => name !== manifest.name && declared[name] === undefined)
			.map(({ name, line }) => ({
				check: 'declared-dependencies',
				file: file.path,
				line,
				found: `import of ${name}`,
				allowed: `what ${workspace}/package.json lists as ${shipped ? 'dependencies' : 'dependencies or devDependencies'}`,
			}));
	});
}

function packageName(specifier: string): string {
	return specifier
		.split('/')
		.slice(0, specifier.startsWith('@') ? 2 : 1)
		.join('/');
}
