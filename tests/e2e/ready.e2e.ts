import { expect, type Page, test } from '@playwright/test';
import { expectNoViolation } from './axe.js';
import { allStored, join, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** Before engine start: what this device and the other one have, item by item, each as it is found. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;

async function expectItem(page: Page, item: RegExp, state: 'yes' | 'no' | 'unknown'): Promise<void> {
	const line = page.locator('[data-item]').filter({ hasText: item });
	await expect(async () => {
		await page.getByRole('button', { name: 'Look again' }).click();
		await expect(line).toHaveAttribute('data-ready', state, { timeout: 500 });
	}).toPass();
}

async function markAndBack(page: Page): Promise<void> {
	await open(page, 'Cockpit');
	await page.getByRole('button', { name: 'Mark' }).click();
	await open(page, 'Review');
	await page.getByRole('link', { name: 'Ready' }).click();
	await expect(page).toHaveTitle(/Ready$/);
}

test('the list says of each item what was found, here and on the other device of the crew', async ({ browser }) => {
	const pilot = await (await browser.newContext({ viewport: { width: 834, height: 1112 } })).newPage();
	const engineer = await (await browser.newContext()).newPage();
	await join(pilot, board.link('pilot'), 'pilot');
	await join(engineer, board.link('engineer'), 'engineer');
	await pilot.getByRole('link', { name: 'Ready to fly without a network' }).click();
	await expectItem(pilot, /^The board opens/, 'yes');
	await expectItem(pilot, /^The whole check is here/, 'yes');
	await expectItem(pilot, /^Card and type data/, 'yes');
	await expectItem(pilot, /^The host has everything/, 'yes');
	await expectItem(pilot, /^Your pen writes/, 'yes');
	await expectItem(pilot, /^The clock fits/, 'unknown');
	await expectItem(pilot, /^Demo engineer\u2019s device/, 'unknown');
	await expectNoViolation(pilot, 'Ready');
	if (shots !== undefined) await pilot.screenshot({ path: `${shots}/ready.png`, fullPage: true });

	// the other device writes, so it is known what it has
	await engineer.getByRole('link', { name: 'Cockpit' }).click();
	await engineer.getByRole('button', { name: 'Begin flight 2' }).click();
	await allStored(engineer);
	await expectItem(pilot, /^Demo engineer\u2019s device/, 'yes');

	// the clock is compared while there is a host, and told by what was written since
	await expect(async () => {
		await markAndBack(pilot);
		await expect(pilot.locator('[data-item="clock"]')).toHaveAttribute('data-ready', 'yes', { timeout: 500 });
	}).toPass();

	// without a network what is written stays here, and the list says so
	await pilot.context().setOffline(true);
	await markAndBack(pilot);
	await expectItem(pilot, /^The host has everything/, 'no');
	await expectItem(pilot, /^The whole check is here/, 'yes');
	await pilot.context().close();
	await engineer.context().close();
});
