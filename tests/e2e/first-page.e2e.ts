import { expect, type Page, test } from '@playwright/test';
import { ServedBoard } from './served-board.js';

/** The first page: cautions once, the three doors, the sample with its planted mistake, the aircraft's page. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;

async function shot(page: Page, name: string): Promise<void> {
	if (shots !== undefined) await page.screenshot({ path: `${shots}/${name}.png`, fullPage: true });
}

test('cautions stand before everything once per device; then glass, light and pen can be set up or left', async ({
	page,
}) => {
	await page.goto(board.url);
	await expect(page.getByText('Fly first.')).toBeVisible();
	await expect(page.getByRole('link', { name: /^Look around/ })).toHaveCount(0);
	await shot(page, 'first-cautions');
	await page.getByRole('button', { name: 'I have read this' }).click();
	await expect(page.getByRole('link', { name: /^Look around/ })).toBeVisible();
	await expect(page.getByRole('link', { name: /^Join a check/ })).toBeVisible();
	await expect(page.getByRole('link', { name: /^Set up our aircraft/ })).toBeVisible();
	await shot(page, 'first-doors');
	await page.getByRole('button', { name: 'The card fits' }).click();
	await page.getByRole('button', { name: 'Light and hand' }).click();
	await page.getByRole('button', { name: 'Night' }).click();
	await expect(page.locator('html')).toHaveAttribute('data-theme', 'night');
	await page.getByRole('button', { name: 'Your pen' }).click();
	await page.getByRole('button', { name: 'Make the pen' }).click();
	await expect(page.getByRole('status').filter({ hasText: 'Write your name' })).toBeVisible();
	await page.getByLabel('Your name').fill('Somebody');
	await page.getByLabel('A code of your own').fill('2468');
	await page.getByRole('button', { name: 'Make the pen' }).click();
	await expect(page.getByText('Somebody has a pen on this device.')).toBeVisible();
	await page.getByRole('button', { name: 'Done with this device' }).click();

	await page.reload();
	await expect(page.getByRole('link', { name: /^Look around/ })).toBeVisible();
	await expect(page.getByText('Fly first.')).toHaveCount(0);
	await expect(page.getByRole('button', { name: 'The card fits' })).toHaveCount(0);
	await expect(page.locator('html')).toHaveAttribute('data-theme', 'night');

	// the pen made here opens a check with no host at all: it is kept on this device only
	await page.goto(`${board.url}/new`);
	await expect(page.getByText('Somebody has a pen on this device.')).toBeVisible();
	await page.context().setOffline(true);
	await page.getByLabel('Registration').fill('ZZ-LMD');
	await page.getByRole('button', { name: 'Open the check' }).click();
	await expect(page.getByText('before flight 1')).toBeVisible();
	await expect(page.getByText('kept on this device only')).toBeVisible();
	await page.context().setOffline(false);
});

test('Look around opens the sample in one tap; a wrong answer is said so, the planted mistake is found by the audit', async ({
	page,
}) => {
	await page.goto(board.url);
	await page.getByRole('button', { name: 'I have read this' }).click();
	await page.getByRole('link', { name: /^Look around/ }).click();
	await expect(page).toHaveTitle('ZZ-DUN Workshop');
	await expect(page.getByLabel('Sample', { exact: true })).toBeVisible();
	await expect(page.locator('[data-planted="open"]')).toBeVisible();
	await expect(page.getByText('kept on this device only')).toBeVisible();
	// the audit's own words, by the same solver as any check
	await expect(page.getByText(/The change on blade D \(plate\) was made one place further on/).first()).toBeVisible({
		timeout: 20_000,
	});
	await shot(page, 'look-around');
	await page.getByRole('button', { name: 'They were never fitted' }).click();
	await expect(page.locator('[data-planted="missed"]')).toBeVisible();
	await expect(page.getByText('Not that.')).toBeVisible();
	await page.goto(board.url);
	await expect(page.getByText('planted mistake not found yet')).toBeVisible();
	await page.getByRole('link', { name: /^Look around/ }).click();
	await page.getByRole('button', { name: 'They stand on the next blade' }).click();
	await expect(page.getByText('Found. The plates stand on blade E')).toBeVisible();
	await expect(page.locator('[data-being-kept="0"]')).toBeVisible();
	await page.goto(board.url);
	await expect(page.getByText('planted mistake found')).toBeVisible();
	// opening it again goes on with the same check
	await expect(page.getByRole('article')).toHaveCount(1);
	await shot(page, 'start-with-sample');

	await page.getByRole('link', { name: 'Page of ZZ-DUN' }).click();
	await expect(page.getByRole('heading', { name: 'ZZ-DUN', level: 1 })).toBeVisible();
	await expect(page.getByText('Blade D plates')).toBeVisible();
	await expect(page.getByText('5 plates', { exact: true })).toBeVisible();
	await expect(page.getByRole('heading', { name: 'What was learned' })).toBeVisible();
	await expect(page.getByText(/plate/i).first()).toBeVisible();
	await expect(page.getByText('Computing')).toHaveCount(0);
	await shot(page, 'aircraft-page');
});
