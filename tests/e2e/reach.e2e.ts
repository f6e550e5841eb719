import { type Browser, expect, type Page, test } from '@playwright/test';
import { expectNoViolation } from './axe.js';
import { join as joinCheck, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/**
 * Everybody can reach everything: the rules of axe-core (reference library) on each route in each theme, two hundred
 * percent of size, forced colours. CI looks at one orientation, STILLMAST_LONG=1 at both.
 */

const portrait = { width: 834, height: 1112 };
const landscape = { width: 1112, height: 834 };
const ways = process.env.STILLMAST_LONG === '1' ? [portrait, landscape] : [portrait];
const themes = ['day', 'sun', 'night'] as const;
const views = ['Cockpit', 'Workshop', 'Review'] as const;

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

async function pageIn(browser: Browser, theme: string, viewport: typeof portrait): Promise<Page> {
	const context = await browser.newContext({ viewport });
	await context.addInitScript((name) => {
		localStorage.setItem('stillmast/look@1', JSON.stringify({ theme: name, hand: 'right', pxPerMm: null }));
	}, theme);
	return context.newPage();
}

async function expectNoSidewaysScroll(page: Page, name: string): Promise<void> {
	const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
	expect.soft(over, `${name}: px to scroll sideways`).toBeLessThanOrEqual(0);
}

for (const viewport of ways) {
	const way = viewport === portrait ? 'portrait' : 'landscape';
	for (const theme of themes) {
		test(`axe finds nothing on any route: ${theme}, ${way}`, async ({ browser }) => {
			const page = await pageIn(browser, theme, viewport);
			for (const route of ['/', '/join', '/new', '/parts']) {
				const answer = await page.goto(board.url + route);
				// the page of parts is for development and may be absent
				if (route === '/parts' && answer?.status() !== 200) continue;
				await expect(page.getByRole('heading').first()).toBeVisible();
				// that page shows the same parts many times over, so their names repeat there and nowhere else
				await expectNoViolation(page, route, route === '/parts' ? ['landmark-unique'] : []);
			}
			await joinCheck(page, board.link('engineer'), 'engineer');
			for (const view of views) {
				await open(page, view);
				await expect(page.locator(`[data-view="${view.toLowerCase()}"]`)).toBeVisible();
				await expectNoViolation(page, view);
			}
			await open(page, 'Workshop');
			for (const tab of ['Tail rotor', /^Limits passed/, /^To agree/, 'Sign']) {
				await page.getByRole('button', { name: tab, exact: true }).click();
				await expectNoViolation(page, `Workshop, ${tab}`);
			}
			await page.getByRole('button', { name: /^Limits passed/ }).click();
			await page.getByRole('button', { name: 'Write one down' }).click();
			await expectNoViolation(page, 'Workshop, writing down a limit passed');
			await page.context().close();
		});
	}
}

test('at twice the size no view scrolls sideways, and with forced colours and reduced motion each still works', async ({
	browser,
}) => {
	const page = await pageIn(browser, 'day', { width: 683, height: 430 });
	await page.emulateMedia({ forcedColors: 'active', reducedMotion: 'reduce' });
	for (const route of ['/', '/join', '/new']) {
		await page.goto(board.url + route);
		await expect(page.getByRole('heading').first()).toBeVisible();
		await expectNoSidewaysScroll(page, route);
	}
	await joinCheck(page, board.link('engineer'), 'engineer');
	for (const view of views) {
		await open(page, view);
		await expect(page.locator(`[data-view="${view.toLowerCase()}"]`)).toBeVisible();
		await expectNoSidewaysScroll(page, view);
	}
	const moving = await page.evaluate(() => getComputedStyle(document.documentElement).getPropertyValue('--tempo'));
	expect(Number.parseFloat(moving)).toBe(0);
	await page.context().close();
});
