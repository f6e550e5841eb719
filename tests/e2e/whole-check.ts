import { expect, type Page } from '@playwright/test';

/** A check on the whole sample card, opened on this device alone by an engineer, with the page's clock in hand. */
export async function openWholeCheck(page: Page, url: string, registration: string): Promise<void> {
	await page.clock.install();
	await page.goto(`${url}/new`);
	await page.getByLabel('Registration').fill(registration);
	await page.getByLabel('Whole check flight').check();
	await page.getByLabel('Your name').fill('Demo engineer');
	await page.getByLabel('A code of your own').fill('1234');
	await page.getByRole('button', { name: 'Open the check' }).click();
	await expect(page.getByText('E writes')).toBeVisible();
}

/** Goes to a step of a card that may have more steps than one glass shows. */
export async function goToStep(page: Page, title: string): Promise<void> {
	await page.getByRole('button', { name: 'Card', exact: true }).click();
	const step = page.getByRole('button', { name: title, exact: true });
	const more = page.getByRole('button', { name: 'More steps' });
	for (let pages = 0; pages < 6 && !(await step.isVisible()); pages += 1) await more.click();
	await step.click();
	await expect(page.getByRole('heading', { name: title })).toBeVisible();
}

/** Writes numbers with the pad, one after the other, as the face asks for them. */
export async function writeNumbers(page: Page, numbers: readonly string[]): Promise<void> {
	const pad = page.getByRole('region', { name: /^Number pad/ });
	for (const number of numbers) {
		for (const figure of number) await pad.getByRole('button', { name: figure, exact: true }).click();
		await pad.getByRole('button', { name: /^Keep/ }).click();
	}
}

/** Says that it is steady now, and lets the page's clock run until the whole time was held. */
export async function hold(page: Page, seconds: number): Promise<void> {
	await page.getByRole('button', { name: /^Steady: / }).click();
	await page.clock.runFor(seconds * 1000 + 500);
	await expect(page.getByRole('button', { name: 'Not steady' })).toHaveCount(0);
}

/** One movement called by the crew: three, two, one, go, and its end after so many seconds. */
export async function callRamp(page: Page, seconds: number): Promise<void> {
	// the page's clock stands still but for what is let run, however slow this machine is
	await page.clock.pauseAt((await page.evaluate(() => Date.now())) + 2000);
	await page.getByRole('button', { name: 'Begin: three, two, one' }).click();
	await page.clock.runFor(3000 + seconds * 1000);
	await page.getByRole('button', { name: 'End of the movement' }).click();
	await page.clock.resume();
}
