import { expect, type Page, test } from '@playwright/test';
import { allOnDevice, allStored, entryCount, join as joinCheck, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** The board without a network: loaded once, it opens cold, with every check of the device, and goes on being written. */

async function keptWhole(page: Page): Promise<void> {
	await page.waitForFunction(async () => (await navigator.serviceWorker.ready).active?.state === 'activated');
}

test('loaded once, the host gone and the network off: a cold start shows the check and writes on', async ({
	browser,
}) => {
	const board = new ServedBoard();
	await board.start();
	const context = await browser.newContext();
	try {
		const first = await context.newPage();
		await joinCheck(first, board.link('pilot'), 'pilot');
		await allStored(first);
		await keptWhole(first);
		const before = await entryCount(first);
		const check = first.url();
		await first.close();
		await board.stop();
		await context.setOffline(true);

		const errors: string[] = [];
		const cold = await context.newPage();
		cold.on('pageerror', (error) => errors.push(String(error)));
		await cold.goto(board.url);
		await expect(cold.getByText('ZZ-LMW').first()).toBeVisible();
		await cold.goto(check);
		await expect(cold.locator('[data-entries]')).toHaveAttribute('data-entries', String(before));
		await expect(cold.getByText('kept on this device').first()).toBeVisible();
		await open(cold, 'Cockpit');
		await cold.getByRole('button', { name: /^Begin flight/ }).click();
		await allOnDevice(cold);
		expect(await entryCount(cold)).toBeGreaterThan(before);
		for (const route of ['/new', '/type', '/rehearse']) {
			await cold.goto(board.url + route);
			await expect(cold.getByRole('heading').first()).toBeVisible();
		}
		expect(errors).toEqual([]);

		await context.setOffline(false);
		await board.start();
		await cold.goto(check);
		await allStored(cold);
	} finally {
		await context.close();
		await board.dispose();
	}
});

test('the board can be installed: a manifest with icons that are there, large enough, and one that may be cut', async ({
	page,
}) => {
	const board = new ServedBoard();
	await board.start();
	try {
		await page.goto(board.url);
		const link = await page.locator('link[rel="manifest"]').getAttribute('href');
		const answer = await page.request.get(board.url + link);
		const manifest = (await answer.json()) as Manifest;
		expect(manifest).toMatchObject({ name: 'Stillmast', start_url: '/', display: 'standalone', id: '/' });
		const purposes = manifest.icons.map(({ purpose = 'any' }) => purpose);
		expect(purposes).toContain('maskable');
		const sizes = await Promise.all(manifest.icons.map((icon) => pixels(page, board.url + icon.src)));
		for (const [at, icon] of manifest.icons.entries()) {
			if (icon.sizes !== 'any') expect(`${sizes[at]}x${sizes[at]}`).toBe(icon.sizes);
		}
		// 192 and 512 px are what browsers ask for before they offer to install (web.dev, install criteria; from memory)
		expect(manifest.icons.map(({ sizes: named }) => named)).toEqual(expect.arrayContaining(['192x192', '512x512']));
	} finally {
		await board.dispose();
	}
});

interface Manifest {
	readonly icons: readonly { readonly src: string; readonly sizes: string; readonly purpose?: string }[];
}

/** Width of a picture as the browser decodes it. */
async function pixels(page: Page, url: string): Promise<number> {
	return page.evaluate(async (src) => {
		const image = new Image();
		image.src = src;
		await image.decode();
		return image.naturalWidth;
	}, url);
}
