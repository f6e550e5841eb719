/*
 * One package's tests, kept warm: started by suites.mjs with the package's folder as working folder. Each message {test,
 * rule, changed} is answered by {failed, passed, skipped} (the first a list of titles) or {trouble}. Each run has fresh
 * workers; what stays is the tool and the sources that have not changed.
 */
import { createVitest } from 'vitest/node';

/** What was changed for the last run and put back since. */
let stale = [];
const vitest = await createVitest('test', { root: process.cwd(), watch: false, reporters: [{}] });

process.on('message', async ({ test, rule, changed }) => {
	try {
		for (const path of [...stale, ...changed]) vitest.invalidateFile(path);
		stale = changed;
		process.send(await run(test, rule));
	} catch (error) {
		process.send({ trouble: String(error?.stack ?? error) });
	}
});
process.on('disconnect', () => vitest.close().finally(() => process.exit()));
process.send({ ready: true });

async function run(test, rule) {
	vitest.setGlobalTestNamePattern(new RegExp(`\\[${rule}\\]`));
	const specifications = await vitest.globTestSpecifications([test]);
	const files = new Set(specifications.map(({ moduleId }) => moduleId));
	// what earlier runs showed of other files is told again
	const { testModules } = await vitest.runTestSpecifications(specifications);
	const tests = testModules
		.filter(({ moduleId }) => files.has(moduleId))
		.flatMap((module) => [...module.children.allTests()])
		.map((one) => ({ title: one.name, state: one.result().state }));
	const named = (state) => tests.filter((one) => one.state === state && one.title.includes(`[${rule}]`));
	return {
		failed: tests.filter(({ state }) => state === 'failed').map(({ title }) => title),
		passed: named('passed').length,
		skipped: named('skipped').length,
	};
}
