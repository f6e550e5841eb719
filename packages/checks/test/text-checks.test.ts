import { describe, expect, it } from 'vitest';
import {
	ceilingLines,
	checkFileSize,
	checkForbiddenText,
	checkPortableScripts,
	checkRuleIds,
	checkSabotage,
	checkVectors,
	checkWorkspaces,
	type Finding,
	printFindings,
	type TextFile,
	testCeilingLines,
} from '../src/index.js';

const file = (path: string, text: string): TextFile => ({ path, text });
const kinds = (findings: readonly Finding[]): readonly string[] => findings.map((one) => one.check);

describe('printFindings(findings)', () => {
	it('writes place, check, what was found and what is allowed on one line', () => {
		const finding = { check: 'x', file: 'a.ts', line: 3, found: 'this', allowed: 'that' };
		expect(printFindings([finding])).toBe('a.ts:3 [x] found this; allowed: that');
	});
});

describe('checkWorkspaces(files)', () => {
	const good = {
		name: '@stillmast/x',
		private: true,
		type: 'module',
		license: 'Apache-2.0',
		scripts: {
			build: 'tsc -p tsconfig.build.json',
			check: 'tsc -p tsconfig.json',
			test: 'vitest run --reporter=default --reporter=json --outputFile.json=test-results/unit.json',
		},
		dependencies: { valibot: '1.5.0' },
	};
	const manifest = (value: unknown, path = 'packages/x/package.json'): TextFile => file(path, JSON.stringify(value));

	it('accepts the common form', () => {
		expect(checkWorkspaces([manifest(good)])).toEqual([]);
	});

	it.each([
		['another script', { ...good, scripts: { ...good.scripts, test: 'vitest run' } }, 'script test vitest run'],
		[
			'a missing script',
			{ ...good, scripts: { build: good.scripts.build, test: good.scripts.test } },
			'script check missing',
		],
		['a range', { ...good, dependencies: { valibot: '^1.5.0' } }, 'valibot ^1.5.0'],
		['another name', { ...good, name: 'x' }, 'name x'],
		['another licence', { ...good, license: 'MIT' }, 'licence MIT'],
	])('finds %s', (_title, value, what) => {
		expect(checkWorkspaces([manifest(value)]).map((one) => one.found)).toEqual([what]);
	});

	it('finds two versions of one dependency', () => {
		const other = manifest(
			{ ...good, name: '@stillmast/y', dependencies: { valibot: '1.4.0' } },
			'packages/y/package.json',
		);
		expect(checkWorkspaces([manifest(good), other]).map((one) => one.allowed)).toEqual([
			'1.5.0, as in packages/x/package.json',
		]);
	});
});

describe('checkRuleIds(files)', () => {
	const rules = file(
		'docs/rules/balance.md',
		'# Balance\n\n- **BAL-1** Phase is lag.\n- **BAL-2** Half a turn cancels.\n',
	);

	it('accepts ids that stand on both sides, also in it.each and describe', () => {
		const tests = file('packages/x/test/a.test.ts', "it('[BAL-1] is lag', f);\ndescribe.each(rows)('[BAL-2] %s', f);");
		expect(checkRuleIds([rules, tests])).toEqual([]);
	});

	it('finds a rule without a test, an id without a rule and a rule stated twice', () => {
		const tests = file(
			'packages/x/test/a.test.ts',
			"it('[BAL-1] [BAL-9] is lag', f);\n// it('[BAL-2] only a comment', f)",
		);
		const again = file('docs/rules/more.md', '### BAL-1 Phase again\n');
		expect(checkRuleIds([rules, again, tests]).map((one) => one.found)).toEqual([
			'BAL-1 a second time',
			'BAL-2 without a test',
			'[BAL-9] in a title',
		]);
	});
});

describe('checkVectors(files)', () => {
	const source = file('tests/vectors/air/SOURCE.md', 'where it comes from');

	it('accepts rows with a basis beside a SOURCE.md', () => {
		const rows = file('tests/vectors/air/isa.json', '[{ "id": "a", "basis": "published" }]');
		expect(checkVectors([source, rows])).toEqual([]);
	});

	it.each([
		['a folder without SOURCE.md', [file('tests/vectors/air/isa.json', '[{ "id": "a", "basis": "published" }]')]],
		['a row without basis', [source, file('tests/vectors/air/isa.json', '[{ "id": "a" }]')]],
		['a row of invented basis', [source, file('tests/vectors/air/isa.json', '[{ "id": "a", "basis": "invented" }]')]],
		['a file without rows', [source, file('tests/vectors/air/isa.json', '[]')]],
	])('finds %s', (_title, files) => {
		expect(checkVectors(files)).toHaveLength(1);
	});
});

describe('checkForbiddenText(files)', () => {
	it.each([
		['no-raw-html', 'apps/board/src/A.svelte', '<p>{@html text}</p>'],
		['no-suppression', 'packages/x/src/a.ts', '// @ts-ignore'],
		['no-unfinished-work', 'packages/x/src/a.ts', '// TODO later'],
		['no-machine-paths', 'README.md', 'see /home/somebody/stillmast'],
		['no-machine-paths', 'docs/a.md', 'C:\\Users\\somebody'],
		['no-registry-hosts', '.npmrc', 'registry=https://registry.example.org'],
		['no-download-addresses', 'package-lock.json', '"resolved": "https://example.org/a.tgz"'],
	])('finds %s in %s', (check, path, text) => {
		expect(kinds(checkForbiddenText([file(path, text)]))).toContain(check);
	});

	it('accepts ordinary text, relative paths and workspace links of the lockfile', () => {
		const files = [
			file('README.md', 'Folders: docs/home/a, ./work/x, https://example.org/home/a'),
			file('package-lock.json', '"resolved": "packages/core", "link": true'),
			file('apps/board/src/A.svelte', '<p>{text}</p>'),
		];
		expect(checkForbiddenText(files)).toEqual([]);
	});
});

describe('checkPortableScripts(files)', () => {
	it('accepts spawn with arguments, joined paths and commands that every system runs', () => {
		const program =
			"import { spawn } from 'node:child_process';\nspawn(process.execPath, [join(root, 'a', 'b.mjs'), '@x/y']);";
		const manifest = '{ "scripts": { "check": "svelte-kit sync && svelte-check" } }';
		expect(checkPortableScripts([file('scripts/a.mjs', program), file('packages/x/package.json', manifest)])).toEqual(
			[],
		);
	});

	it.each([
		['a shell', 'scripts/a.mjs', "spawn('npm', [], { shell: true });"],
		['exec', 'scripts/a.mjs', "import { exec } from 'node:child_process';"],
		['exec under another name', 'scripts/a.mjs', "import { execSync as go } from 'node:child_process';"],
		['a path with slashes', 'scripts/a.mjs', "start('apps/cli/dist/index.js');"],
		['a command file', 'scripts/a.mjs', "start('npm.cmd');"],
		['rm in a manifest', 'package.json', '{ "scripts": { "clean": "rm -rf dist" } }'],
		['a variable in a manifest', 'package.json', '{ "scripts": { "a": "node a.mjs $PORT" } }'],
		['a background job in a manifest', 'package.json', '{ "scripts": { "a": "node a.mjs & node b.mjs" } }'],
	])('finds %s', (_title, path, text) => {
		expect(kinds(checkPortableScripts([file(path, text)]))).toEqual(['portable-scripts']);
	});
});

describe('checkFileSize(files, listed)', () => {
	const long = file('packages/x/src/a.ts', 'x;\n'.repeat(ceilingLines + 1));

	it('accepts a file at the ceiling and a listed exception', () => {
		expect(checkFileSize([file('packages/x/src/a.ts', 'x;\n'.repeat(ceilingLines))], {})).toEqual([]);
		expect(checkFileSize([long], { 'packages/x/src/a.ts': ceilingLines + 1 })).toEqual([]);
	});

	it('lets a test file list more cases, up to a ceiling of its own', () => {
		const test = (lines: number): TextFile => file('packages/x/test/a.test.ts', 'x;\n'.repeat(lines));
		expect(checkFileSize([test(testCeilingLines)], {})).toEqual([]);
		expect(checkFileSize([test(testCeilingLines + 1)], {})).toHaveLength(1);
	});

	it('finds a longer file, and an exception whose file is gone', () => {
		expect(kinds(checkFileSize([long], {}))).toEqual(['file-size']);
		expect(checkFileSize([], { 'packages/x/src/gone.ts': 900 })).toHaveLength(1);
	});
});

describe('checkSabotage(files)', () => {
	const red = { package: 'packages/x', test: 'test/a.test.ts', rule: 'REC-1' };
	const patch = { name: 'careless', file: 'packages/x/src/a.ts', find: 'keep(row);', replace: '', red };
	const repository = (program: string, title: string): readonly TextFile[] => [
		file('tests/sabotage/patches/record.json', JSON.stringify([patch])),
		file('packages/x/src/a.ts', program),
		file('packages/x/test/a.test.ts', `it('${title}', () => {});`),
	];

	it('accepts a patch whose line stands once and whose rule has its test', () => {
		expect(checkSabotage(repository('keep(row);', '[REC-1] keeps'))).toEqual([]);
	});

	it.each([
		['a line that is gone', 'hold(row);', '[REC-1] keeps', 'stands 0 times'],
		['a line that stands twice', 'keep(row); keep(row);', '[REC-1] keeps', 'stands 2 times'],
		['a test that is gone', 'keep(row);', '[REC-2] keeps', 'no test of REC-1'],
	])('finds %s', (_title, program, title, what) => {
		const findings = checkSabotage(repository(program, title));
		expect(findings.map(({ found }) => found)).toEqual([expect.stringContaining(what)]);
	});
});
