import { expect, test } from '@playwright/test';
import { judgesTimes } from './judged-times.js';
import { ServedBoard } from './served-board.js';

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

test('a trainee flies one ramp by keyboard and reads the verdict at once, in a frame that says rehearsal', async ({
	page,
}) => {
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(String(error)));
	await page.goto(`${board.url}/rehearse`);
	await expect(page.getByText('nothing here was flown')).toBeVisible();
	await expect(page.getByText('Inside here is not readiness for the aircraft.')).toBeVisible();

	await page.getByRole('button', { name: 'Begin' }).click();
	const lever = page.getByRole('slider', { name: 'Lever' });
	await expect(lever).toBeFocused();
	await expect(lever).toHaveAttribute('aria-valuenow', '20');
	await expect(page.getByText('one', { exact: true })).toBeVisible();
	await expect(page.getByText('go', { exact: true })).toBeVisible();
	await page.keyboard.down('ArrowUp');
	await expect.poll(async () => Number(await lever.getAttribute('aria-valuenow'))).toBeGreaterThan(75);
	await page.keyboard.up('ArrowUp');

	await expect(page.getByRole('heading', { name: 'Attempt 1' })).toBeVisible({ timeout: 20_000 });
	const verdict = page.getByRole('list', { name: 'What this attempt showed' });
	await expect(verdict.getByText('peak torque')).toBeVisible();
	await expect(verdict.getByText(/^(inside|outside)$/).first()).toBeVisible();
	await expect(page.getByRole('img', { name: /Ramp bed, torque/ })).toBeVisible();
	await expect(page.getByRole('button', { name: 'Again' })).toBeEnabled();
	expect(errors).toEqual([]);
});

test('the page tells how many frames pass from a finger on the lever to its drawn gauge', async ({ page }) => {
	await page.goto(`${board.url}/rehearse`);
	await page.getByRole('button', { name: 'Begin' }).click();
	await expect(page.getByText('go', { exact: true })).toBeVisible();
	const lever = page.getByRole('slider', { name: 'Lever' });
	const box = await lever.boundingBox();
	if (box === null) throw new Error('no lever');
	const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
	await page.mouse.move(x, y);
	await page.mouse.down();
	for (let n = 1; n <= 150; n++) await page.mouse.move(x, y - 60 * Math.sin(n / 24));
	await page.mouse.up();
	const said = page.locator('[data-lever-lag-frames]');
	await expect(said).toBeVisible();
	const frames = Number(await said.getAttribute('data-lever-lag-frames'));
	console.log(`lever to drawn gauge: 95 in 100 within ${frames} frames; ${(await said.textContent())?.trim()}`);
	expect(frames).toBeGreaterThan(0);
	if (judgesTimes) expect(frames).toBeLessThanOrEqual(2);
});
