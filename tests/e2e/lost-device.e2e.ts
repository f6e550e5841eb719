import { expect, test } from '@playwright/test';
import { allOnDevice, allStored, join, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** A tablet goes away with what it wrote; the check is signed without it; then it turns up after all. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;

test('the signature names the lost device and why, and tells what came of it afterwards', async ({ browser }) => {
	const pilot = await (await browser.newContext()).newPage();
	const engineer = await (await browser.newContext()).newPage();
	await join(pilot, board.link('pilot'), 'pilot');
	await join(engineer, board.link('engineer'), 'engineer');
	await pilot.getByRole('button', { name: 'Begin flight 2' }).click();
	await allStored(pilot);
	await expect(engineer.getByText('flight 2, run 1')).toBeVisible();
	await pilot.context().setOffline(true);
	await pilot.getByRole('button', { name: 'Mark' }).click();
	await allOnDevice(pilot);

	await open(engineer, 'Workshop');
	await engineer.getByRole('button', { name: 'Sign', exact: true }).click();
	await engineer.getByText('Sign without a lost device').click();
	await engineer.getByLabel('The device of Demo pilot, pilot, is lost').check();
	await engineer.getByLabel('Your code').fill('1234');
	await engineer.getByRole('button', { name: 'Sign as engineer' }).click();
	await expect(engineer.getByText('Say what happened to each lost device: it stands in the signature.')).toBeVisible();
	await engineer.getByLabel('What happened to it').fill('fell into the river');
	const words =
		/Signed without the device of Demo pilot, pilot: fell into the river\. Last heard \d\d:\d\dZ, \d+ entries here\./;
	await expect(engineer.getByText(words)).toBeVisible();
	if (shots !== undefined) await engineer.screenshot({ path: `${shots}/lost-device.png`, fullPage: true });
	await engineer.getByLabel('Your code').fill('1234');
	await engineer.getByRole('button', { name: 'Sign as engineer' }).click();
	await expect(engineer.getByText('signed as engineer')).toBeVisible();
	await expect(engineer.locator('[data-given-up="0"]')).toContainText('Nothing of it has come since.');

	await pilot.context().setOffline(false);
	await allStored(pilot);
	await open(engineer, 'Review');
	await expect(engineer.locator('[data-given-up="1"]')).toContainText('It came back.');
	await expect(engineer.locator('[data-given-up="1"]').getByRole('listitem')).toHaveText(['mark']);
	if (shots !== undefined) await engineer.screenshot({ path: `${shots}/lost-device-back.png` });
	await pilot.context().close();
	await engineer.context().close();
});
