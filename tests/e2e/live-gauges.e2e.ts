import { expect, type Page, test } from '@playwright/test';
import { join, open } from './crew.js';
import { GaugeSource } from './gauge-source.js';
import { ServedBoard } from './served-board.js';
import { goToStep } from './whole-check.js';

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const inFlight = { iasKt: 80, torquePct: 60, totC: 700, rotorRpmPct: 100, ngPct: 91.3 };

async function joinReviewer(page: Page): Promise<void> {
	await page.goto(board.link('reviewer'));
	await page.getByLabel('Your name').fill('Demo reviewer');
	await page.getByLabel('A code of your own').fill('2468');
	await page.getByRole('button', { name: 'Join' }).last().click();
	await page.getByRole('button', { name: 'The words are the same' }).click();
	await expect(page).toHaveTitle(/Review$/);
}

test('[FEED-6] [FEED-7] [FEED-8] gauges from outside stand on glass, workshop and review as lanes; a passed limit, a stall and a jump are told', async ({
	browser,
}) => {
	const pages = await Promise.all([0, 1, 2].map(async () => (await browser.newContext()).newPage()));
	const [pilot, engineer, reviewer] = pages as [Page, Page, Page];
	const loaded: string[] = [];
	engineer.on('response', (response) => loaded.push(new URL(response.url()).pathname));
	await join(pilot, board.link('pilot'), 'pilot');
	await join(engineer, board.link('engineer'), 'engineer');
	await joinReviewer(reviewer);
	await pilot.getByRole('button', { name: 'Begin flight' }).click();
	await goToStep(pilot, '80 kt level');
	await open(engineer, 'Workshop');
	await engineer.waitForLoadState('networkidle');
	const before = loaded.length;

	const source = await GaugeSource.open(board.link('pilot'), 'ZZ-LMW', inFlight);
	const glass = pilot.locator('.limits');
	await expect(glass.getByText('live', { exact: true })).toBeVisible();
	await expect(glass.getByRole('listitem').filter({ hasText: 'torque, above 40 kt' }).getByText('now')).toBeVisible();
	for (const page of [engineer, reviewer]) {
		const sheet = page.getByRole('region', { name: 'Live gauges: bench' });
		await expect(sheet.locator('[data-pulse="live"]')).toBeVisible();
		await expect(sheet.getByRole('listitem').filter({ hasText: 'torque, above 40 kt' })).toContainText('inside');
		await expect(sheet.getByText('torque, to 40 kt')).toHaveCount(0);
		await expect(sheet.getByText('gas generator speed 91.3 %')).toBeVisible();
	}
	// what shows gauges is fetched with the first of them, not before
	expect(loaded.length).toBeGreaterThan(before);

	// the warning knocks are a choice, told for what they are
	await pilot.getByRole('button', { name: 'Card', exact: true }).click();
	await pilot.getByRole('button', { name: 'Warning knocks' }).click();
	await expect(pilot.getByText('No sound does not mean that no limit was passed.')).toBeVisible();
	await pilot.getByRole('button', { name: 'Back', exact: true }).click();

	source.values = { ...inFlight, torquePct: 95.5 };
	await expect(glass.getByRole('alert')).toContainText('95.5 %');
	await expect(engineer.getByRole('alert')).toContainText('torque, above 40 kt');
	source.values = inFlight;
	await expect(glass.getByRole('alert')).toHaveCount(0);

	source.stall();
	await expect(glass.getByText(/^feed silent for \d+ s$/)).toBeVisible();
	await expect(engineer.getByText(/^Nothing for \d+ s\. Old values are not shown\.$/)).toBeVisible();
	await expect(engineer.getByText('torque, above 40 kt')).toHaveCount(0);
	source.goOn(100);
	await expect(engineer.locator('[data-pulse="live"]')).toBeVisible();
	await expect(engineer.getByText('Jumps ahead in its time: 1.')).toBeVisible();
	expect(await source.finish()).toBeGreaterThan(20);
	for (const page of pages) await page.context().close();
});
