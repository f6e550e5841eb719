import { describe, expect, it } from 'vitest';
import {
	checkDeclaredDependencies,
	checkFileSize,
	checkForbiddenText,
	checkImportDirection,
	checkNoCycles,
	checkPortableScripts,
	checkPurityOfCore,
	checkRuleIds,
	checkSabotage,
	checkVectors,
	checkWorkspaces,
	checkYjsStaysInCarrier,
	type Finding,
	printFindings,
	readRepository,
	type TextFile,
} from '../src/index.js';

const files = readRepository();

const checks: readonly (readonly [string, (files: readonly TextFile[]) => readonly Finding[]])[] = [
	['imports follow the direction table and named entry points', checkImportDirection],
	['packages imported by name are declared', checkDeclaredDependencies],
	['Yjs is imported by the carrier and the relay only', checkYjsStaysInCarrier],
	['core is pure', checkPurityOfCore],
	['no files import each other in a ring', checkNoCycles],
	['workspaces have the same scripts and pinned dependencies', checkWorkspaces],
	['every rule has a titled test and every titled id is a rule', checkRuleIds],
	['every sabotage patch finds its line and its test', checkSabotage],
	['every vector has a source and a basis', checkVectors],
	['scripts run on any system', checkPortableScripts],
	['nothing forbidden stands in a file', checkForbiddenText],
	['files keep under the size ceiling', checkFileSize],
];

describe('this repository', () => {
	it('readRepository() finds the manifest, the lockfile and the core', () => {
		const paths = files.map((file) => file.path);
		for (const path of ['package.json', 'package-lock.json', 'packages/core/src/result/index.ts', '.ci/run']) {
			expect(paths).toContain(path);
		}
	});

	it.each(checks)('%s', (_title, check) => {
		expect(printFindings(check(files))).toBe('');
	});
});
