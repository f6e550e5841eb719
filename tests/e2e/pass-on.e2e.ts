import { expect, test } from '@playwright/test';
import { join as joinCheck, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** Stopping early, the short card after it, and passing the check on from one person to the next. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;

test('a flight is stopped early, the next person reads what is left and goes on after looking at the aircraft', async ({
	browser,
}) => {
	const pilot = await (await browser.newContext()).newPage();
	await joinCheck(pilot, board.link('pilot'), 'pilot');
	await pilot.getByRole('button', { name: 'Begin flight 2' }).click();
	await expect(pilot.getByRole('heading', { name: 'Walk round' })).toBeVisible();
	await pilot.getByRole('button', { name: 'Next' }).click();
	await expect(pilot.getByRole('heading', { name: 'Ground, flat pitch' })).toBeVisible();
	await pilot.getByRole('button', { name: 'Card', exact: true }).click();
	await pilot.getByRole('button', { name: 'Leave for later' }).click();
	await open(pilot, 'Workshop');
	await pilot.getByRole('link', { name: 'Pass on' }).click();
	await pilot.getByRole('button', { name: 'Stop this flight early' }).click();
	await expect(pilot.getByText('Say why: it stands in the report.')).toBeVisible();
	await pilot.getByLabel('Why it is stopped').fill('cloud down to 300 ft');
	await pilot.getByRole('button', { name: 'Stop this flight early' }).click();
	await expect(pilot.getByText('Flight 2 was stopped early: cloud down to 300 ft')).toBeVisible();
	// put off by hand, and not come to; what was done is not on it
	const shortCard = pilot.getByRole('region', { name: 'Short card for the next flight' }).getByRole('listitem');
	await expect(shortCard).toHaveText(['Ground, flat pitch', 'Lift-off', 'Hover', /80/, /110/, /^Land/, 'After flight']);

	await pilot.getByLabel('Measuring gear still fitted').fill('vibration set 0114\npulse sensor');
	await pilot.getByLabel('What else').fill('Shift ends.');
	await pilot.getByRole('button', { name: 'Pass the check on' }).click();
	await expect(pilot.locator('[data-given="true"]')).toContainText('P passed the check on');
	await expect(pilot.getByText('Measuring gear still fitted: vibration set 0114, pulse sensor')).toBeVisible();

	const engineer = await (await browser.newContext()).newPage();
	await joinCheck(engineer, board.link('engineer'), 'engineer');
	await open(engineer, 'Workshop');
	await engineer.getByRole('link', { name: 'Pass on' }).click();
	await expect(engineer.getByText('Shift ends.')).toBeVisible();
	// who wrote what is told by device: last heard, entries here
	await expect(engineer.locator('[data-device="pilot"]').filter({ hasText: /^Demo pilot/ })).toContainText(
		/last heard \d\d:\d\dZ, \d+ entries here/,
	);
	await engineer.getByRole('button', { name: 'Go on with this check' }).click();
	await expect(engineer.getByText('Look at the aircraft first, then say so.')).toBeVisible();
	await engineer.getByRole('checkbox').check();
	await engineer.getByRole('button', { name: 'Go on with this check' }).click();
	await expect(engineer.getByText(/^The check was taken on at/)).toBeVisible();
	await expect(pilot.locator('[data-given="true"]')).toHaveCount(0);
	if (shots !== undefined) await engineer.screenshot({ path: `${shots}/pass-on.png`, fullPage: true });

	await open(pilot, 'Cockpit');
	if (shots !== undefined) await pilot.screenshot({ path: `${shots}/between.png` });
	await pilot.getByRole('button', { name: 'Short card: 7 of 8 steps' }).click();
	await expect(pilot.getByText('flight 3, run 1, short card')).toBeVisible();
	await expect(pilot.getByRole('heading', { name: 'Ground, flat pitch' })).toBeVisible();
	await pilot.getByRole('button', { name: 'Card', exact: true }).click();
	await expect(pilot.getByRole('button', { name: 'Lift-off', exact: true })).toBeVisible();
	await expect(pilot.getByRole('button', { name: 'Walk round', exact: true })).toHaveCount(0);
	await pilot.context().close();
	await engineer.context().close();
});

test('whoever opened a check on this device alone passes it on, and sees every device with what it wrote', async ({
	page,
}) => {
	await page.goto(board.url);
	await page.getByRole('button', { name: 'I have read this' }).click();
	await page.getByRole('link', { name: /^Look around/ }).click();
	await page.getByRole('link', { name: 'Pass on' }).click();
	await expect(page.getByText('This check is on this device only. Nobody else can come in.')).toBeVisible();
	const other = page.locator('[data-device="pilot"]');
	await expect(other).toContainText('entries here');
	await other.getByRole('button', { name: 'Lock out P (demo pilot)' }).click();
	await other.getByRole('button', { name: /^Tap again to confirm/ }).click();
	await expect(other).toContainText('locked out');
	await expect(other.getByRole('button')).toHaveCount(0);
});
