import { describe, expect, it } from 'vitest';
import {
	checkDeclaredDependencies,
	checkImportDirection,
	checkNoCycles,
	checkPurityOfCore,
	checkYjsStaysInCarrier,
	type Finding,
	type TextFile,
} from '../src/index.js';

/** Every check below is shown one tree that keeps the rule and trees that break it: a check that cannot fail guards nothing. */
const file = (path: string, text: string): TextFile => ({ path, text });
const found = (findings: readonly Finding[]): readonly string[] =>
	findings.map((one) => `${one.file}:${one.line} ${one.found}`);

describe('checkImportDirection(files)', () => {
	it('accepts imports along the table, topics, and a test importing its own package', () => {
		const files = [
			file('packages/formats/src/a/index.ts', "import { ok } from '@stillmast/core/result';\nimport './b.js';"),
			file('packages/core/test/a.test.ts', "import { ok } from '@stillmast/core/result';"),
			file('apps/cli/src/a.ts', "import { startRelay } from '@stillmast/relay';"),
			file('packages/record/src/client/browser/index.ts', ''),
			file('apps/board/src/a.ts', "import { ports } from '@stillmast/record/client/browser';"),
			file('apps/board/src/b.ts', "import card from '../../../demo-scenarios/x/card.json?raw';"),
			file('apps/board/src/A.svelte', "<script>import { fold } from '@stillmast/record';</script>"),
		];
		expect(found(checkImportDirection(files))).toEqual([]);
	});

	it.each([
		['core on formats', 'packages/core/src/a.ts', "import { x } from '@stillmast/formats/rotor';"],
		['record on relay, as a type', 'packages/record/src/a.ts', "import type { X } from '@stillmast/relay';"],
		['relay on an app, dynamically', 'packages/relay/src/a.ts', "const x = await import('@stillmast/cli');"],
		[
			'formats on record, in a type position',
			'packages/formats/src/a.ts',
			"type X = import('@stillmast/record').Entry;",
		],
		['board on relay, re-exported', 'apps/board/src/a.ts', "export { x } from '@stillmast/relay';"],
		['past an entry point', 'packages/record/src/a.ts', "import { x } from '@stillmast/core/balance/model';"],
		[
			'out of the package by a relative path',
			'packages/record/src/a.ts',
			"import { x } from '../../core/src/result/index.js';",
		],
	])('finds %s', (_title, path, text) => {
		expect(found(checkImportDirection([file(path, text)]))).toHaveLength(1);
	});

	it('names the line of an import inside a component', () => {
		const text = '<p>hello</p>\n\n<script lang="ts">\n\timport { x } from \'@stillmast/relay\';\n</script>\n';
		expect(found(checkImportDirection([file('apps/board/src/A.svelte', text)]))).toEqual([
			'apps/board/src/A.svelte:4 import of @stillmast/relay',
		]);
	});
});

describe('checkDeclaredDependencies(files)', () => {
	const manifest = file(
		'packages/x/package.json',
		'{ "name": "@stillmast/x", "dependencies": { "@scope/a": "1.0.0" }, "devDependencies": { "b": "1.0.0" } }',
	);
	const inX = (path: string, text: string): readonly string[] =>
		found(
			checkDeclaredDependencies([
				manifest,
				file(`packages/record/${path}`, text),
				{ ...manifest, path: 'packages/record/package.json' },
			]),
		);

	it('accepts declared packages, their entry points, Node itself and development tools in tests', () => {
		expect(inX('src/a.ts', "import '@scope/a/deep'; import 'node:fs'; import './b.js';")).toEqual([]);
		expect(inX('test/a.test.ts', "import 'b'; import '@stillmast/x';")).toEqual([]);
	});

	it('finds an undeclared package, and a development tool in what is shipped', () => {
		expect(inX('test/a.test.ts', "import 'c/deep';")).toEqual(['packages/record/test/a.test.ts:1 import of c']);
		expect(inX('src/a.ts', "import 'b';")).toEqual(['packages/record/src/a.ts:1 import of b']);
	});
});

describe('checkYjsStaysInCarrier(files)', () => {
	const text = "import * as Y from 'yjs';";

	it('accepts the carrier, the relay and tests', () => {
		const paths = [
			'packages/record/src/carrier/index.ts',
			'packages/relay/src/room.ts',
			'packages/record/test/a.test.ts',
		];
		expect(checkYjsStaysInCarrier(paths.map((path) => file(path, text)))).toEqual([]);
	});

	it.each(['packages/record/src/fold.ts', 'apps/board/src/lib/live.ts', 'packages/core/src/a.ts'])(
		'finds it in %s',
		(path) => {
			expect(found(checkYjsStaysInCarrier([file(path, text)]))).toEqual([`${path}:1 import of yjs`]);
		},
	);
});

describe('checkPurityOfCore(files)', () => {
	const inCore = (text: string): readonly string[] =>
		found(checkPurityOfCore([file('packages/core/src/a/index.ts', text)]));

	it('accepts members and own names that are called like something impure', () => {
		expect(
			inCore("import FFT from 'fft.js';\nexport const f = (x: { Date: number }) => x.Date + Math.sqrt(2);"),
		).toEqual([]);
		expect(inCore('export interface Rotor { readonly process: string }\nexport const g = { window: 1 };')).toEqual([]);
		expect(inCore('const global = [1];\nexport const h = (location: number) => global[location];')).toEqual([]);
	});

	it.each([
		['a clock', 'export const now = () => Date.now();', 'Date'],
		['a date made on the spot', 'export const now = () => new Date();', 'Date'],
		['chance', 'export const f = () => Math.random();', 'Math.random'],
		['a timer', 'export const f = () => performance.now();', 'performance'],
		['the host', 'export const f = () => process.env.A;', 'process'],
		['the screen', 'export const f = () => document.title;', 'document'],
		['Node', "import { readFileSync } from 'node:fs';", 'import of node:fs'],
		['Yjs', "import * as Y from 'yjs';", 'import of yjs'],
		['a library that is not listed', "import { Matrix } from 'ml-matrix';", 'import of ml-matrix'],
		['the place of the module', 'export const f = () => import.meta.url;', 'import.meta'],
	])('finds %s', (_title, text, what) => {
		expect(inCore(text)).toEqual([`packages/core/src/a/index.ts:1 ${what}`]);
	});

	it('leaves other packages alone', () => {
		expect(checkPurityOfCore([file('packages/relay/src/a.ts', 'Date.now();')])).toEqual([]);
	});
});

describe('checkNoCycles(files)', () => {
	it('accepts a diamond', () => {
		const files = [
			file('packages/x/src/a.ts', "import './b.js';\nimport './c.js';"),
			file('packages/x/src/b.ts', "import './d/index.js';"),
			file('packages/x/src/c.ts', "import './d/index.js';"),
			file('packages/x/src/d/index.ts', 'export const d = 1;'),
		];
		expect(checkNoCycles(files)).toEqual([]);
	});

	it('names the ring of three, types included', () => {
		const files = [
			file('packages/x/src/a.ts', "import './b.js';"),
			file('packages/x/src/b.ts', "export * from './c/index.js';"),
			file('packages/x/src/c/index.ts', "import type { A } from '../a.js';"),
		];
		const [finding, ...more] = checkNoCycles(files);
		expect(more).toEqual([]);
		expect(finding?.found).toBe(
			'packages/x/src/a.ts → packages/x/src/b.ts → packages/x/src/c/index.ts → packages/x/src/a.ts',
		);
	});

	it('finds a file that imports itself', () => {
		expect(checkNoCycles([file('packages/x/src/a.ts', "import './a.js';")])).toHaveLength(1);
	});
});
