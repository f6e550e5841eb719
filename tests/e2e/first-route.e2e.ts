import { gzipSync } from 'node:zlib';
import { type BrowserContext, expect, type Page, test } from '@playwright/test';
import { allStored, join as joinCheck } from './crew.js';
import { ServedBoard } from './served-board.js';

/**
 * What a slow network must bring before the board is usable: sizes are exact on every machine, so they are held here;
 * times need a bench. An empty app of these libraries is 30 kB, with the carrier of the record 57.
 */

const mostFirstRouteB = 110_000;

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

interface Loaded {
	readonly bytes: number;
	readonly paths: readonly string[];
	/** A copy of the record's carrier is told by a word of its own that no build may rename. */
	readonly hasCarrier: boolean;
}

async function scriptsOf(
	context: BrowserContext,
	url: string,
	isReady: (page: Page) => Promise<void>,
): Promise<Loaded> {
	const page = await context.newPage();
	const bodies = new Map<string, Promise<Buffer>>();
	page.on('response', (response) => {
		const { pathname } = new URL(response.url());
		if (pathname.endsWith('.js') && response.ok()) bodies.set(pathname, response.body());
	});
	await page.goto(url);
	await isReady(page);
	await page.waitForLoadState('networkidle');
	const texts = await Promise.all(bodies.values());
	await page.close();
	return {
		bytes: texts.reduce((sum, body) => sum + gzipSync(body, { level: 9 }).length, 0),
		paths: [...bodies.keys()],
		hasCarrier: texts.some((body) => body.includes('beforeObserverCalls')),
	};
}

test('the first route stays within 110 kB of script, without carrier, plots or solver, on a new device and on one with a check', async ({
	browser,
}) => {
	const context = await browser.newContext({ serviceWorkers: 'block' });
	const fresh = await scriptsOf(context, board.url, (page) => expect(page.getByText('Fly first.')).toBeVisible());
	expect(fresh.paths.length).toBeGreaterThan(5);

	const engineer = await context.newPage();
	await joinCheck(engineer, board.link('engineer'), 'engineer');
	await allStored(engineer);
	await expect(engineer).toHaveTitle(/Workshop$/);
	await engineer.close();
	const known = await scriptsOf(context, board.url, (page) => expect(page.getByText('ZZ-LMW').first()).toBeVisible());

	const check = await scriptsOf(context, `${board.url}/check/${board.record}/workshop`, (page) =>
		expect(page.getByText('E writes')).toBeVisible(),
	);
	console.log(`script, gzip: new device ${fresh.bytes} B, with a check ${known.bytes} B, workshop ${check.bytes} B`);
	for (const one of [fresh, known]) {
		expect(one.bytes).toBeLessThanOrEqual(mostFirstRouteB);
		expect(one.hasCarrier).toBe(false);
		expect(one.paths.filter((path) => path.includes('worker'))).toEqual([]);
	}
	// the same signs are found where they belong, so that the test can fail
	expect(check.hasCarrier).toBe(true);
	expect(check.paths.some((path) => path.includes('solver.worker'))).toBe(true);
	await context.close();
});
