import type { Finding, TextFile } from './finding.js';

/** One change of tests/sabotage/patches. */
interface Patch {
	readonly name: string;
	readonly file: string;
	readonly find: string;
	readonly red: { readonly package: string; readonly test: string; readonly rule: string };
}

/** Every change that breaks a promise on purpose still finds its line, and the test that must go red is there. */
export function checkSabotage(files: readonly TextFile[]): readonly Finding[] {
	const texts = new Map(files.map(({ path, text }) => [path, text]));
	return files
		.filter(({ path }) => /^tests\/sabotage\/patches\/[^/]+\.json$/.test(path))
		.flatMap(({ path, text }) => (JSON.parse(text) as Patch[]).flatMap((patch) => faults(patch, path, texts)));
}

function faults({ name, file, find, red }: Patch, path: string, texts: ReadonlyMap<string, string>): Finding[] {
	const finding = (found: string, allowed: string): Finding => ({
		check: 'sabotage',
		file: path,
		found: `“${name}”: ${found}`,
		allowed,
	});
	const times = (texts.get(file) ?? '').split(find).length - 1;
	const test = `${red.package}/${red.test}`;
	return [
		...(times === 1
			? []
			: [finding(`its line stands ${times} times in ${file}`, 'once: write the patch for the line as it is now')]),
		...(texts.get(test)?.includes(`[${red.rule}]`) === true
			? []
			: [finding(`no test of ${red.rule} in ${test}`, 'a test with the rule in its title')]),
	];
}
