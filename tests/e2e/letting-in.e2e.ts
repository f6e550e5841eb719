import { type Browser, expect, type Page, test } from '@playwright/test';
import { join, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** Letting somebody into a check from the board: by a link, by a code that is read out, and comparing the words. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;
const newPage = async (browser: Browser) => (await browser.newContext()).newPage();

/** Joins from the join page and answers with the three words that stand there. */
async function comeIn(page: Page, name: string): Promise<string> {
	await page.getByLabel('Your name').fill(name);
	await page.getByLabel('A code of your own').fill('2468');
	await page.getByRole('button', { name: 'Join' }).last().click();
	await expect(page.getByText('Whoever let you in must see the same three words.')).toBeVisible();
	return ((await page.locator('main .words').textContent()) ?? '').trim();
}

test('[RLY-52] the engineer lets one person in by a link and one by a code; the same three words stand on both screens', async ({
	browser,
}) => {
	const engineer = await newPage(browser);
	await join(engineer, board.link('engineer'), 'engineer');
	await open(engineer, 'Workshop');
	await engineer.getByRole('link', { name: 'Pass on' }).click();
	await engineer.getByLabel('They come as').selectOption('support');
	await engineer.getByRole('button', { name: 'Make a link' }).click();
	await expect(engineer.getByRole('img', { name: 'Square code of the link' })).toBeVisible();
	const link = await engineer.getByLabel('Link for one support').inputValue();
	const support = await newPage(browser);
	await support.goto(link);
	const supportWords = await comeIn(support, 'Demo support');
	expect(supportWords).toMatch(/^[a-z]+ [a-z]+ [a-z]+$/);
	await expect(engineer.getByRole('listitem').filter({ hasText: supportWords })).toContainText('Demo support');

	await engineer.getByLabel('They come as').selectOption('pilot');
	await engineer.getByRole('button', { name: 'Code to read out' }).click();
	const code = (await engineer.locator('[data-spoken]').getAttribute('data-spoken')) ?? '';
	if (shots !== undefined) await engineer.screenshot({ path: `${shots}/letting-in.png`, fullPage: true });
	const pilot = await newPage(browser);
	await pilot.goto(`${board.url}/join`);
	await pilot.getByLabel('Code of ten characters').fill(code);
	await pilot.getByRole('button', { name: 'Use this code' }).click();
	const pilotWords = await comeIn(pilot, 'Demo second pilot');
	expect(pilotWords).not.toBe(supportWords);
	await expect(engineer.getByRole('listitem').filter({ hasText: pilotWords })).toContainText('Demo second pilot');

	// who reads along lets nobody in
	const reviewer = await newPage(browser);
	await reviewer.goto(board.link('reviewer'));
	await comeIn(reviewer, 'Demo reviewer');
	await reviewer.goto(`${board.url}/check/${board.record}/pass-on`);
	await expect(reviewer.getByText('Pilots, engineers and whoever opened the check let others in.')).toBeVisible();
	await expect(reviewer.getByRole('button', { name: 'Make a link' })).toHaveCount(0);
});
