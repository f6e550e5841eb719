import { expect, test } from '@playwright/test';
import { allStored, join as joinCheck, open } from './crew.js';
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
	// the same check on a second page of this device: both say so, until one is closed
	const address = `${board.url}/check/${/check\/([^/]+)/.exec(page.url())?.[1]}/review`;
	const both = 'This check is open on another page of this device too. Write on one of them.';
	await page.goto(address);
	const second = await page.context().newPage();
	await second.goto(address);
	await expect(second.getByText(both)).toBeVisible();
	await expect(page.getByText(both)).toBeVisible();
	await second.goto(board.url);
	await page.bringToFront();
	await second.close();
	await page.reload();
	await expect(page.getByText('before flight 1')).toBeVisible();
	await expect(page.getByText(both)).toHaveCount(0);
	await page.goto(board.url);
	await expect(page.getByRole('link', { name: /^ZZ-LMB/ })).toBeVisible();
	await expect(page.getByRole('link', { name: /^ZZ-LMW/ })).toBeVisible();
});

test('a new check of an aircraft that was here takes over its settings once each was looked at', async ({ page }) => {
	await joinCheck(page, board.link('engineer'), 'engineer');
	await page.goto(`${board.url}/new`);
	await page.getByLabel('Registration').fill('ZZ-LMW');
	await page.getByRole('button', { name: 'Open the check' }).click();
	const sheet = page.getByRole('region', { name: 'Settings on the aircraft' });
	await expect(sheet.locator('[data-found="main/plate-A"]')).toContainText('last 0 plates');
	await sheet.getByRole('button', { name: 'Write down as found' }).click();
	await expect(sheet.getByRole('status')).toContainText('Tick each line that you have seen.');
	for (const line of await sheet.getByRole('checkbox', { name: /^Looked at/ }).all()) await line.check();
	await sheet.getByRole('textbox', { name: 'Blade A plates' }).fill('2');
	if (process.env.STILLMAST_SHOTS)
		await page.screenshot({ path: `${process.env.STILLMAST_SHOTS}/found.png`, fullPage: true });
	await sheet.getByRole('button', { name: 'Write down as found' }).click();
	await expect(sheet).toHaveCount(0);
	await open(page, 'Workshop');
	await expect(page.locator('[data-setting="plate-A"]')).toContainText('2 plates');
	await expect(page.getByText(/^What was learned in the check of .* counts less\.$/)).toBeVisible();
	await open(page, 'Cockpit');
	await expect(page.getByText('Blade A')).toBeVisible();
	await allStored(page);
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
	// nothing is wrong: it says where the check is, and how it gets on from here
	await expect(page.getByText('kept on this device only')).toBeVisible();
	await expect(page.getByText('This host does not know its pen. Hand it on as a record file.')).toBeVisible();
	await expect(page.getByText('refused')).toHaveCount(0);
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
