import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { repositoryRoot } from '../src/index.js';

/** What `npm test` prints last, from the reports of all suites: scripts/reports.mjs, which runs without types. */
interface Sum {
	readonly suite: string;
	readonly passed: number;
	readonly failed: number;
	readonly skipped: number;
	readonly minutes: number;
	readonly earlier: boolean;
}
interface Reports {
	sumUnitReport(suite: string, report: unknown, startedAtMs: number): Sum;
	sumBrowserReport(suite: string, report: unknown): Sum;
	missingReport(suite: string): Sum;
	suiteLine(sum: Sum): string;
	closing(sums: readonly Sum[]): { readonly line: string; readonly good: boolean };
}

const script = async <T>(name: string): Promise<T> =>
	(await import(pathToFileURL(join(repositoryRoot(), 'scripts', name)).href)) as T;
const { sumUnitReport, sumBrowserReport, missingReport, suiteLine, closing } = await script<Reports>('reports.mjs');

const unitReport = {
	numPassedTests: 7,
	numFailedTests: 1,
	numPendingTests: 2,
	numTodoTests: 1,
	startTime: 1_000_000,
	testResults: [
		{ status: 'failed', endTime: 1_030_000, assertionResults: [{ status: 'failed' }, { status: 'passed' }] },
		{ status: 'failed', endTime: 1_060_000, assertionResults: [] },
	],
};

describe('sumUnitReport(suite, report, startedAtMs)', () => {
	it('counts a test file that could not be loaded as one failure', () => {
		expect(sumUnitReport('core', unitReport, 0)).toEqual({
			suite: 'core',
			passed: 7,
			failed: 2,
			skipped: 3,
			minutes: 1,
			earlier: false,
		});
	});

	it('marks a report older than this run as kept', () => {
		expect(sumUnitReport('core', unitReport, 1_000_001).earlier).toBe(true);
	});
});

describe('sumBrowserReport(suite, report)', () => {
	it('counts a test that passed only when repeated as failed', () => {
		const stats = { expected: 4, unexpected: 1, flaky: 1, skipped: 2, duration: 120_000 };
		expect(sumBrowserReport('e2e', { stats, errors: [] })).toMatchObject({
			passed: 4,
			failed: 2,
			skipped: 2,
			minutes: 2,
		});
	});

	it('counts an error outside any test as a failure', () => {
		const stats = { expected: 4, unexpected: 0, flaky: 0, skipped: 0, duration: 0 };
		expect(sumBrowserReport('e2e', { stats, errors: [{ message: 'server did not start' }] }).failed).toBe(1);
	});
});

describe('closing(sums)', () => {
	const good = sumUnitReport(
		'core',
		{ ...unitReport, numFailedTests: 0, numPendingTests: 0, numTodoTests: 0, testResults: [] },
		0,
	);

	it('adds up and leaves skipped away when there are none', () => {
		expect(closing([good, good])).toEqual({ line: '14 passed, 0 failed', good: true });
		expect(closing([{ ...good, skipped: 2 }])).toEqual({ line: '7 passed, 0 failed, 2 skipped', good: true });
	});

	it('is not good with a failure, a missing report, or nothing passed', () => {
		expect(closing([good, missingReport('lint')])).toEqual({ line: '7 passed, 1 failed', good: false });
		expect(closing([])).toEqual({ line: '0 passed, 0 failed', good: false });
	});

	it('suiteLine(sum) gives the minutes of a suite', () => {
		expect(suiteLine({ ...good, minutes: 1.234 })).toBe('core                       1.23 min  7 passed, 0 failed');
	});
});

describe('nodeIsSupported(version)', () => {
	it.each([
		['20.18.9', false],
		['20.19.0', true],
		['21.7.0', false],
		['22.11.0', false],
		['22.12.0', true],
		['23.9.0', false],
		['24.0.0', true],
		['26.1.0', true],
	])('%s gives %s', async (version, expected) => {
		const { nodeIsSupported } = await script<{ nodeIsSupported(version: string): boolean }>('node-version.mjs');
		expect(nodeIsSupported(version)).toBe(expected);
	});
});
