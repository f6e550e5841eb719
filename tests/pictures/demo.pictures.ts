import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, expect, type Page, test } from '@playwright/test';
import { join as joinCheck, open } from '../e2e/crew.js';
import { ServedBoard } from '../e2e/served-board.js';

const pictures = join(import.meta.dirname, '..', '..', 'docs', 'pictures');
const tablet = { width: 834, height: 1112 };
const laptop = { width: 1366, height: 900 };

const board = new ServedBoard();
test.beforeAll(async () => {
	mkdirSync(pictures, { recursive: true });
	await board.start();
});
test.afterAll(() => board.dispose());

async function page(browser: Browser, viewport: typeof tablet, theme: string): Promise<Page> {
	const context = await browser.newContext({ viewport });
	await context.addInitScript((name) => {
		localStorage.setItem('stillmast/look@1', JSON.stringify({ theme: name, hand: 'right', pxPerMm: null }));
	}, theme);
	return context.newPage();
}

for (const theme of ['day', 'night']) {
	test(`workshop and review, ${theme}`, async ({ browser }) => {
		const engineer = await page(browser, laptop, theme);
		await joinCheck(engineer, board.link('engineer'), 'engineer');
		await open(engineer, 'Workshop');
		await expect(engineer.getByRole('button', { name: 'Use this proposal' })).toBeVisible();
		await engineer.screenshot({ path: join(pictures, `workshop-${theme}.png`) });
		await open(engineer, 'Review');
		await engineer.screenshot({ path: join(pictures, `review-${theme}.png`) });
	});
}

for (const theme of ['day', 'sun']) {
	test(`cockpit, ${theme}`, async ({ browser }) => {
		const pilot = await page(browser, tablet, theme);
		await joinCheck(pilot, board.link('pilot'), 'pilot');
		const begin = pilot.getByRole('button', { name: /^Begin flight/ });
		if ((await begin.count()) > 0) await begin.click();
		await pilot.getByRole('button', { name: 'Card', exact: true }).click();
		await pilot.getByRole('button', { name: /^110 kt level/ }).click();
		await expect(pilot.getByRole('heading', { name: '110 kt level' })).toBeVisible();
		await pilot.screenshot({ path: join(pictures, `cockpit-${theme}.png`) });
	});
}
