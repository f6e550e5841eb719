import { expect, test } from '@playwright/test';
import { allOnDevice, allStored, entryCount, join } from './crew.js';
import { KillableBrowser } from './killable-browser.js';
import { ServedBoard } from './served-board.js';

/** Kills in a row, each right after the page said that the entry is on this device. */
const KILLS = process.env.STILLMAST_LONG === '1' ? 200 : 5;
const tablet = { width: 834, height: 1112 };

test(`${KILLS} browsers killed right after "on this device", with no host in reach: nothing is lost`, async ({
	launchOptions,
}) => {
	test.setTimeout(60_000 + KILLS * 20_000);
	const board = new ServedBoard();
	const browser = new KillableBrowser(launchOptions, tablet);
	await board.start();
	try {
		let page = await browser.start();
		await join(page, board.link('pilot'), 'pilot');
		await page.getByRole('button', { name: 'Begin flight 2' }).click();
		await allStored(page);
		const address = page.url();
		// from here on the disk of the tablet is the only place that has what is written
		await board.kill();
		let written = await entryCount(page);
		for (let kill = 0; kill < KILLS; kill++) {
			await page.getByRole('button', { name: 'Mark' }).click();
			written += 1;
			await expect(page.locator('[data-entries]')).toHaveAttribute('data-entries', String(written));
			await allOnDevice(page);
			await browser.kill();
			page = await browser.start();
			await page.goto(address);
			await expect(page.locator('[data-entries]')).toHaveAttribute('data-entries', String(written), {
				timeout: 15_000,
			});
		}
		await board.start();
		await page.goto(address);
		await allStored(page);
		expect(await entryCount(page)).toBe(written);
	} finally {
		await browser.dispose();
		await board.dispose();
	}
});
