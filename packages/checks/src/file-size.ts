import type { Finding, TextFile } from './finding.js';

/** Lines a program file may have: one idea fits in less. */
export const ceilingLines = 320;

/** A test file may list more cases of its one idea. */
export const testCeilingLines = 520;

const isTest = (path: string): boolean => /(^|\/)(test|tests|bench)\//.test(path);

/** Files above the ceiling, each with its own ceiling and the reason; tables and long forms only. */
export const exceptions: Readonly<Record<string, number>> = {};

export function checkFileSize(
	files: readonly TextFile[],
	listed: Readonly<Record<string, number>> = exceptions,
): readonly Finding[] {
	const programs = files.filter((file) => /\.(ts|mjs|js|svelte)$/.test(file.path));
	const present = new Set(programs.map((file) => file.path));
	return [
		...programs.flatMap((file): Finding[] => {
			const lines = file.text.split('\n').length - 1;
			const allowed = listed[file.path] ?? (isTest(file.path) ? testCeilingLines : ceilingLines);
			return lines <= allowed
				? []
				: [{ check: 'file-size', file: file.path, found: `${lines} lines`, allowed: `${allowed}: split by idea` }];
		}),
		...Object.keys(listed)
			.filter((path) => !present.has(path))
			.map((file) => ({
				check: 'file-size',
				file,
				found: 'an exception for no file',
				allowed: 'only files that are there',
			})),
	];
}
