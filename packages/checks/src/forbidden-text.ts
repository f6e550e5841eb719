import { type Finding, lineAt, type TextFile } from './finding.js';

interface Ban {
	readonly check: string;
	readonly pattern: RegExp;
	readonly where: (path: string) => boolean;
	readonly allowed: string;
}

const isCode = (path: string): boolean => /\.(ts|mjs|js|svelte)$/.test(path);
// This package has to spell what it forbids.
const isElsewhere = (path: string): boolean => !path.startsWith('packages/checks/');

const bans: readonly Ban[] = [
	{
		check: 'no-raw-html',
		pattern: /\{@html\b/g,
		where: (path) => path.endsWith('.svelte'),
		allowed: 'text and components: what people write is never markup',
	},
	{
		check: 'no-suppression',
		pattern: /@ts-ignore|@ts-nocheck|@ts-expect-error|biome-ignore|svelte-ignore|eslint-disable/g,
		where: (path) => isCode(path) && isElsewhere(path),
		allowed: 'code that the tools accept as it is',
	},
	{
		check: 'no-unfinished-work',
		pattern: /\b(TODO|FIXME|XXX|HACK)\b/g,
		where: (path) => isCode(path) && isElsewhere(path),
		allowed: 'finished code; open work lives with the issues',
	},
	{
		check: 'no-machine-paths',
		pattern: /(?<![\w.~-])\/(?:work|home|root|Users|tmp|var\/folders)\/[\w.-]+|\b[A-Z]:\\\\?Users\b/g,
		where: (path) => isElsewhere(path) && !path.startsWith('tests/vectors/'),
		allowed: 'paths inside the repository',
	},
	{
		check: 'no-registry-hosts',
		pattern: /registry\.[\w-]+\.\w+|\b(?:npmmirror|artifactory|nexus|verdaccio)\b/gi,
		where: isElsewhere,
		allowed: 'package names and versions; where they come from is the reader’s setting',
	},
	{
		check: 'no-download-addresses',
		pattern: /"resolved": "(?:https?|git)[^"]*"/g,
		where: (path) => path === 'package-lock.json',
		allowed: 'a lockfile without addresses (.npmrc leaves them out)',
	},
];

/** Text that must not stand in the repository, each with the line it stands on. */
export function checkForbiddenText(files: readonly TextFile[]): readonly Finding[] {
	return files.flatMap((file) =>
		bans
			.filter((ban) => ban.where(file.path))
			.flatMap((ban) =>
				[...file.text.matchAll(ban.pattern)].map((match) => ({
					check: ban.check,
					file: file.path,
					line: lineAt(file.text, match.index),
					found: match[0].slice(0, 80),
					allowed: ban.allowed,
				})),
			),
	);
}
