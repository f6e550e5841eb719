import { expect, test } from '@playwright/test';
import { ServedBoard } from './served-board.js';

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

test('the first page opens without an error, and again after the host was killed and started', async ({ page }) => {
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(String(error)));
	await page.goto(board.url);
	await expect(page).toHaveTitle(/Stillmast/);
	await board.kill();
	await board.start();
	await page.goto(board.url);
	await expect(page.getByRole('heading').first()).toBeVisible();
	expect(errors).toEqual([]);
});
