import { expect, type Page, test } from '@playwright/test';
import { expectNoViolation } from './axe.js';
import { allOnDevice, entryCount, join as joinCheck, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** What is chosen for a device, the keys of each view, and what a newer board may not do. */

const shots = process.env.STILLMAST_SHOTS;
const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

async function shot(page: Page, name: string): Promise<void> {
	if (shots !== undefined) await page.screenshot({ path: `${shots}/${name}.png`, fullPage: true });
}

test('[BRD-3] mm/s and a comma, once chosen, are what every view shows and the pad takes; the record keeps ips', async ({
	browser,
}) => {
	const page = await (await browser.newContext()).newPage();
	await joinCheck(page, board.link('engineer'), 'engineer');
	await page.getByRole('link', { name: 'This device' }).click();
	await expect(page.getByText('So a level is written: 0.24 ips.')).toBeVisible();
	await page.getByRole('button', { name: 'mm/s', exact: true }).click();
	await page.getByRole('button', { name: /^Comma/ }).click();
	await expect(page.getByText('So a level is written: 6,1 mm/s.')).toBeVisible();
	await expect(page.locator('[data-kept="kept"], [data-kept="may-clear"]')).toBeVisible();
	await expect(page.locator('[data-newer="false"]')).toBeVisible();
	await expectNoViolation(page, 'device');
	await shot(page, 'device');

	await page.goto(`${board.url}/check/${board.record}/workshop`);
	await expect(page.getByText('mm/s').first()).toBeVisible();
	await expect(page.getByText(/\d ips/)).toHaveCount(0);
	await shot(page, 'workshop-mm-s');
	await open(page, 'Cockpit');
	await page.getByRole('button', { name: /^Begin flight/ }).click();
	await page.keyboard.press('c');
	await page.getByRole('button', { name: /^Hover/ }).click();
	// by keyboard from here: the pad takes the place of what was left
	await page.keyboard.press('w');
	await page.keyboard.press('Enter');
	await page.keyboard.type('5.1');
	await expect(page.getByRole('button', { name: 'Keep 5,1 mm/s' })).toBeVisible();
	await page.keyboard.press('Enter');
	await page.keyboard.type('118');
	await page.keyboard.press('Enter');
	await page.keyboard.press('Escape');
	await expect(page.getByText('5,1').first()).toBeVisible();
	await allOnDevice(page);
	await page.evaluate(() => {
		const look = JSON.parse(localStorage.getItem('stillmast/look@1') ?? '{}');
		localStorage.setItem('stillmast/look@1', JSON.stringify({ ...look, vibrationUnit: 'ips', mark: '.' }));
	});
	await page.goto(`${board.url}/check/${board.record}/review`);
	await expect(page.getByText('0.20 ips 118\u00b0').first()).toBeVisible();
	await page.context().close();
});

test('[BRD-1] the sheet on ? lists what a view does, and behind it nothing is pressed', async ({ browser }) => {
	const page = await (await browser.newContext()).newPage();
	await joinCheck(page, board.link('engineer'), 'engineer');
	await expect(page).toHaveTitle(/Workshop$/);
	await page.keyboard.press('?');
	const sheet = page.getByRole('dialog', { name: 'Keys' });
	await expect(sheet.getByText('Try my own, or stop trying')).toBeVisible();
	await expect(sheet.getByText('Tab Sign')).toBeVisible();
	await expectNoViolation(page, 'the sheet of keys');
	await shot(page, 'keys-workshop');
	// behind the sheet nothing is pressed
	await page.keyboard.press('t');
	await page.keyboard.press('Escape');
	await expect(sheet).toHaveCount(0);
	await expect(page.getByRole('button', { name: 'Try my own' })).toBeVisible();
	await page.context().close();
});

test('[BRD-2] the cockpit says before flight when the screen may go dark, and not when it is kept lit', async ({
	browser,
}) => {
	for (const isLent of [true, false]) {
		const context = await browser.newContext();
		await context.addInitScript((isLent) => {
			const lock = () => Object.assign(new EventTarget(), { released: false, release: async () => undefined });
			const request = async () => (isLent ? lock() : Promise.reject(new Error('NotAllowedError')));
			Object.defineProperty(navigator, 'wakeLock', { value: { request } });
		}, isLent);
		const page = await context.newPage();
		await page.goto(`${board.url}/rehearse`);
		await expect(page.getByRole('heading').first()).toBeVisible();
		await expect(page.getByText('The screen may go dark')).toHaveCount(isLent ? 0 : 1);
		await page.goto(`${board.url}/device`);
		await expect(page.locator(`[data-awake="${isLent ? 'held' : 'refused'}"]`)).toBeVisible();
		await context.close();
	}
});

test('[BRD-4] a newer board waits, says so outside the cockpit, and loads no page anew', async ({ browser }) => {
	const page = await (await browser.newContext()).newPage();
	await joinCheck(page, board.link('pilot'), 'pilot');
	await page.waitForFunction(async () => (await navigator.serviceWorker.ready).active?.state === 'activated');
	const before = await entryCount(page);
	await page.evaluate(() => Object.assign(globalThis, { isSamePage: true }));
	// the same worker under another name is a newer board to the browser
	await page.evaluate(async () => {
		const newer = await navigator.serviceWorker.register('/service-worker.js?newer', { type: 'module' });
		await new Promise<void>((resolve) => {
			const look = () => (newer.waiting === null ? setTimeout(look, 50) : resolve());
			look();
		});
	});
	await expect(page.getByText('A newer board waits')).toHaveCount(0);
	await open(page, 'Workshop');
	await expect(page.getByText('A newer board waits here.')).toBeVisible();
	await open(page, 'Cockpit');
	await expect(page.locator('[data-entries]')).toHaveAttribute('data-entries', String(before));
	expect(await page.evaluate(() => 'isSamePage' in globalThis)).toBe(true);
	await page.context().close();
});
