import { expect, test } from '@playwright/test';
import { allStored, join as joinCheck } from './crew.js';
import { ServedBoard } from './served-board.js';

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

test('an engineer who is known here opens a new check with the pen of this device, and the host keeps it', async ({
	page,
}) => {
	await joinCheck(page, board.link('engineer'), 'engineer');
	await page.goto(`${board.url}/new`);
	await expect(page.getByText('Demo engineer opens it as engineer')).toBeVisible();
	await page.getByLabel('Registration').fill('ZZ-LMB');
	await page.getByRole('button', { name: 'Open the check' }).click();
	await expect(page.getByText('before flight 1')).toBeVisible();
	await allStored(page);
	await page.goto(board.url);
	await expect(page.getByRole('link', { name: /^ZZ-LMB/ })).toBeVisible();
	await expect(page.getByRole('link', { name: /^ZZ-LMW/ })).toBeVisible();
});

test('a device that knows nobody opens a check by itself, kept on this device only', async ({ page }) => {
	await page.goto(`${board.url}/new`);
	await page.getByLabel('Registration').fill('ZZ-LMC');
	await page.getByLabel('Your name').fill('Somebody');
	await page.getByLabel('A code of your own').fill('2468');
	await page.getByRole('button', { name: 'Open the check' }).click();
	await expect(page.getByText('before flight 1')).toBeVisible();
	await expect(page.locator('[data-being-kept="0"]')).toBeVisible();
	await page.reload();
	await expect(page.getByText('ZZ-LMC')).toBeVisible();
});

test('the whole card from the papers to the last signature is offered', async ({ page }) => {
	await page.goto(`${board.url}/new`);
	await page.getByLabel('Registration').fill('ZZ-LMD');
	await page.getByLabel('Whole check flight').check();
	await page.getByLabel('Your name').fill('Somebody');
	await page.getByLabel('A code of your own').fill('2468');
	await page.getByRole('button', { name: 'Open the check' }).click();
	await expect(page.getByText('before flight 1')).toBeVisible();
	await page.getByRole('link', { name: 'Cockpit' }).click();
	await page.getByRole('button', { name: 'Begin flight 1' }).click();
	await expect(page.getByRole('heading', { name: 'Papers' })).toBeVisible();
});

test('a registration that is no sample is refused with what is needed', async ({ page }) => {
	await page.goto(`${board.url}/new`);
	await page.getByLabel('Registration').fill('AB-CDE');
	await page.getByRole('button', { name: 'Open the check' }).click();
	await expect(page.getByRole('status')).toHaveText('Write ZZ- and two or three letters.');
});
