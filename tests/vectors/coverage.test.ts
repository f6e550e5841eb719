import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = join(import.meta.dirname, '..', '..');
const text = (path: string): string => readFileSync(join(root, path), 'utf8');

interface Row {
	readonly id: string;
	readonly expected: unknown;
}

/** Topics whose rows must be asked whole: every figure that a source gives. */
const wholeTopics = ['air', 'power', 'exceedance', 'transition', 'trade'];

/** What stands under `expected` to say which one a figure is of, or whose instrument is meant: no figure of ours. */
const labels: readonly string[] = ['station', 'component', 'band', 'accuracy', 'resolution_percent_full_range'];

const listed = [...text('tests/vectors/README.md').matchAll(/^\| `([^`]+)` \| (\S+) \| (.+) \|$/gm)].map(
	([, key = '', file = '', asked = '']) => ({ key, file, asked, tests: [...asked.matchAll(/`([^`]+\.ts)`/g)].map(([, name = '']) => name) }),
);

const tests = ['core', 'formats', 'record', 'rehearsal'].flatMap((name) =>
	readdirSync(join(root, 'packages', name, 'test'), { recursive: true, encoding: 'utf8' })
		.filter((file) => file.endsWith('.test.ts'))
		.map((file) => text(join('packages', name, 'test', file))),
);

function rowsOf(folder: string): readonly Row[] {
	return readdirSync(join(root, 'tests', 'vectors', folder))
		.filter((name) => name.endsWith('.json'))
		.flatMap((name) => JSON.parse(text(join('tests', 'vectors', folder, name))) as readonly Row[]);
}

function figuresOf(expected: unknown): readonly string[] {
	const one: unknown = Array.isArray(expected) ? expected[0] : expected;
	return typeof one === 'object' && one !== null ? Object.keys(one) : [];
}

describe('tests/vectors', () => {
	it('lists 82 keys of the reference set, each with its row and tests, or with a reason', () => {
		expect(listed).toHaveLength(82);
		expect(new Set(listed.map(({ key }) => key)).size).toBe(82);
		const faults = listed.flatMap(({ key, file, asked, tests: named }) => {
			if (!file.endsWith('.json')) return asked.length > 20 ? [] : [`${key}: no reason`];
			const rows = JSON.parse(text(join('tests', 'vectors', file))) as readonly Row[];
			const holds = rows.some(({ id }) => id === key);
			const asking = named.length > 0 && named.every((name) => text(name).includes(`'${key}'`));
			return [...(holds ? [] : [`${key}: not in ${file}`]), ...(asking ? [] : [`${key}: not asked by ${asked}`])];
		});
		expect(faults).toEqual([]);
	});

	it.each(wholeTopics)('every figure of every row of %s is named by a test that names the row', (folder) => {
		const rows = rowsOf(folder);
		expect(rows.length).toBeGreaterThan(0);
		const unasked = rows.flatMap(({ id, expected }) => {
			const own = tests.filter((test) => test.includes(`'${id}'`));
			if (own.length === 0) return [`${id}: no test`];
			return figuresOf(expected)
				.filter((figure) => !labels.includes(figure))
				.filter((figure) => !own.some((test) => new RegExp(`\\b${figure}\\b`).test(test)))
				.map((figure) => `${id}: ${figure}`);
		});
		expect(unasked).toEqual([]);
	});
});
