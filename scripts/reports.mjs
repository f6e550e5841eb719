/**
 * What one suite reported.
 * @typedef {{ suite: string, passed: number, failed: number, skipped: number, minutes: number, earlier: boolean }} Sum
 */

/**
 * Sums vitest's JSON report. A test file that could not even be loaded counts as one failure.
 * @param {string} suite @param {any} report @param {number} startedAtMs when this run began: an older report was kept from a run of the same inputs
 * @returns {Sum}
 */
export function sumUnitReport(suite, report, startedAtMs) {
	const files = report.testResults ?? [];
	const unloaded = files.filter(
		(/** @type {any} */ file) =>
			file.status === 'failed' && !file.assertionResults.some((/** @type {any} */ test) => test.status === 'failed'),
	).length;
	const lastEndMs = Math.max(report.startTime, ...files.map((/** @type {any} */ file) => file.endTime ?? 0));
	return {
		suite,
		passed: report.numPassedTests,
		failed: report.numFailedTests + unloaded,
		skipped: report.numPendingTests + report.numTodoTests,
		minutes: (lastEndMs - report.startTime) / 60_000,
		earlier: report.startTime < startedAtMs,
	};
}

/**
 * Sums Playwright's JSON report. A test that passed only when repeated is not a pass; an error outside any test is a failure.
 * @param {string} suite @param {any} report @returns {Sum}
 */
export function sumBrowserReport(suite, report) {
	const { expected, unexpected, flaky, skipped, duration } = report.stats;
	const outside = unexpected + flaky === 0 ? (report.errors ?? []).length : 0;
	return {
		suite,
		passed: expected,
		failed: unexpected + flaky + outside,
		skipped,
		minutes: duration / 60_000,
		earlier: false,
	};
}

/** @param {string} suite @returns {Sum} a step that must have reported and did not */
export function missingReport(suite) {
	return { suite, passed: 0, failed: 1, skipped: 0, minutes: 0, earlier: false };
}

/** @param {Sum} sum */
export function suiteLine({ suite, passed, failed, skipped, minutes, earlier }) {
	const kept = earlier ? ' (result kept: nothing it reads has changed)' : '';
	const counts = `${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`;
	return `${suite.padEnd(24)} ${minutes.toFixed(2).padStart(6)} min  ${counts}${kept}`;
}

/** The one closing line, and whether the whole run may be called good. @param {readonly Sum[]} sums */
export function closing(sums) {
	const total = (/** @type {'passed' | 'failed' | 'skipped'} */ key) => sums.reduce((sum, one) => sum + one[key], 0);
	const [passed, failed, skipped] = [total('passed'), total('failed'), total('skipped')];
	return {
		line: `${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`,
		good: failed === 0 && passed > 0,
	};
}
