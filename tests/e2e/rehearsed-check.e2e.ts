import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import { allOnDevice, next, open, tickAll, useProposal, writeNumber } from './crew.js';
import { ServedBoard } from './served-board.js';

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const framed = 'nothing here was flown';

/** Reads the simulated instrument and writes it with the pad, number by number. */
async function writeWhatItReads(page: Page, title: string, channels: number): Promise<void> {
	await expect(page.getByRole('heading', { name: title })).toBeVisible();
	await page.getByRole('button', { name: 'Write a number' }).click();
	await page.locator('[data-face="choose"] main').getByRole('button').first().click();
	for (let channel = 0; channel < channels; channel += 1) {
		await expect(page.locator('[data-face="number"]')).toBeVisible();
		const said = (await page.locator('[data-instrument]').textContent()) ?? '';
		const [, amplitude, phase] = /: (\d\.\d\d) ips, (\d+)°/.exec(said) ?? [];
		if (amplitude === undefined || phase === undefined) throw new Error(`the instrument says "${said}"`);
		await writeNumber(page, amplitude, 'amplitude');
		await writeNumber(page, phase, 'phase');
	}
}

async function rehearseFlight(page: Page, flight: number): Promise<void> {
	await page.getByRole('button', { name: `Begin flight ${flight}` }).click();
	await tickAll(page, 'Walk round');
	await next(page);
	await writeWhatItReads(page, 'Ground, flat pitch', 3);
	await next(page);
	await tickAll(page, 'Lift-off');
	await next(page);
	await writeWhatItReads(page, 'Hover', 2);
	await next(page);
	await writeWhatItReads(page, '80 kt level', 2);
	await next(page);
	await writeWhatItReads(page, '110 kt level', 2);
	await expect(page.getByText('write what the step asks to hold')).toBeVisible();
	await writeNumber(page, '81.5');
	await next(page);
	await tickAll(page, 'Land and shut down');
	await next(page);
	await tickAll(page, 'After flight');
	await next(page);
	await page.getByRole('button', { name: `End flight ${flight}` }).click();
	await expect(page.getByRole('heading', { name: 'Rotor stopped' })).toBeVisible();
}

test('[RHS-31] a new crew rehearses a whole check: the rotor answers the changes written down, and everything says rehearsal', async ({
	browser,
}, info) => {
	test.setTimeout(150_000);
	const page = await (await browser.newContext({ viewport: { width: 1112, height: 834 } })).newPage();
	page.setDefaultTimeout(20_000);
	await page.goto(`${board.url}/rehearse/check`);
	await expect(page.getByText(framed)).toBeVisible();
	// this hidden fault is one that a first correction removes
	await page.getByLabel('Which hidden fault').fill('2');
	await page.getByLabel('Your name').fill('Demo trainee');
	await page.getByLabel('A code of your own').fill('1234');
	await page.getByRole('button', { name: 'Open the rehearsal' }).click();
	await expect(page.getByText('E writes')).toBeVisible({ timeout: 20_000 });
	await expect(page.getByText(framed)).toBeVisible();

	await open(page, 'Cockpit');
	await rehearseFlight(page, 1);
	await open(page, 'Workshop');
	await expect(page.getByText(framed)).toBeVisible();
	await expect(page.getByText('outside', { exact: true }).first()).toBeVisible();
	await useProposal(page);
	await open(page, 'Cockpit');
	await rehearseFlight(page, 2);
	await open(page, 'Workshop');
	await expect(page.getByText('inside', { exact: true }).first()).toBeVisible();
	await expect(page.getByText('outside', { exact: true })).toHaveCount(0);

	await page.getByRole('button', { name: 'Sign', exact: true }).click();
	await expect(page.getByText('This is a rehearsal: nothing in it was flown.')).toBeVisible();
	await allOnDevice(page);
	await open(page, 'Review');
	await expect(page.getByText(framed)).toBeVisible();
	const download = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Record file' }).click();
	const file = await download;
	expect(file.suggestedFilename()).toMatch(/^rehearsal-ZZ-SIM-/);
	await file.saveAs(info.outputPath('rehearsal.check.json'));
	const { entries } = JSON.parse(readFileSync(info.outputPath('rehearsal.check.json'), 'utf8')) as {
		entries: readonly { kind: string; purpose?: string }[];
	};
	expect(entries.find(({ kind }) => kind === 'opened')?.purpose).toBe('rehearsal');
	await page.goto(`${page.url().replace(/review$/, 'print')}`);
	await expect(page.getByText(framed).first()).toBeVisible();

	// it stands among the rehearsals of this device
	await page.goto(`${board.url}/rehearse/check`);
	await page.getByRole('link', { name: /^ZZ-SIM, opened/ }).click();
	await expect(page.getByText('flight 2, run 1')).toBeVisible();
	await page.context().close();
});
