import { expect, test } from '@playwright/test';
import { joinAs, join as joinCheck, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** Review line by line, striking out with a reason, and what people ask of each other, each by the table of roles. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;

test('the posts lead through the card; the engineer strikes out with a reason, and it stays readable for the reviewer', async ({
	browser,
}) => {
	const engineer = await (await browser.newContext()).newPage();
	const reviewer = await (await browser.newContext()).newPage();
	await joinCheck(engineer, board.link('engineer'), 'engineer');
	await open(engineer, 'Review');
	await expect(engineer.getByText('the whole card')).toBeVisible();
	await engineer.getByRole('button', { name: 'Later' }).click();
	await engineer.getByRole('button', { name: 'Later' }).click();
	await expect(engineer.locator('[data-at="true"]').first()).toHaveAttribute('data-step', 'ground-run');
	await engineer.getByRole('button', { name: 'Earlier' }).click();
	await expect(engineer.locator('[data-at="true"]').first()).toHaveAttribute('data-step', 'walk-round');
	await engineer.getByRole('button', { name: /^110 kt level/ }).click();
	const row = engineer.locator('[data-step="level-110"]').filter({ hasText: 'torque' });
	await expect(row).toBeInViewport();

	await row.getByRole('button', { name: /^Strike out: 81.5/ }).click();
	await row.getByRole('button', { name: /^Strike out 81.5/ }).click();
	await expect(row.getByText('Give a reason: others must see why.')).toBeVisible();
	await row.getByLabel('Reason').fill('read off the wrong gauge');
	await row.getByRole('button', { name: /^Strike out 81.5/ }).click();
	await expect(row.getByText('struck out', { exact: true })).toBeVisible();
	if (shots !== undefined) await engineer.screenshot({ path: `${shots}/review.png`, fullPage: true });

	await joinAs(reviewer, board.link('reviewer'), 'reviewer');
	const seen = reviewer.locator('[data-step="level-110"]').filter({ hasText: 'torque' });
	await expect(seen.getByText('81.5 %')).toBeVisible();
	await expect(seen.getByText('read off the wrong gauge')).toBeVisible();
	await expect(reviewer.getByRole('button', { name: /^Strike out/ })).toHaveCount(0);
	await reviewer.getByText(/^Remarks and questions/).click();
	await expect(reviewer.getByText('You read along. Your pen writes no remarks.')).toBeVisible();
	await engineer.context().close();
	await reviewer.context().close();
});

test('support asks to measure again about one reading, and the engineer answers', async ({ browser }) => {
	const engineer = await (await browser.newContext()).newPage();
	const support = await (await browser.newContext()).newPage();
	await joinCheck(engineer, board.link('engineer'), 'engineer');
	await joinAs(support, board.link('support'), 'support');
	await open(support, 'Review');
	// of support's own nothing stands on the card, so nothing can be struck out
	await expect(support.getByRole('button', { name: /^Strike out/ })).toHaveCount(0);
	await support.getByText(/^Remarks and questions/).click();
	await support.getByLabel('About').selectOption({ label: 'hover lateral: 0.25 ips 148\u00b0' });
	await support.getByRole('button', { name: 'Ask to measure again' }).click();
	await expect(support.getByText('S asked: Please measure hover lateral again.')).toBeVisible();

	await expect(engineer.locator('[data-open-questions="1"]')).toBeVisible();
	await engineer.getByText(/^Remarks and questions/).click();
	await expect(engineer.getByText(/hover lateral, flight 1: 0.25 ips/)).toBeVisible();
	await engineer.getByRole('button', { name: 'After landing' }).click();
	await expect(support.getByText('E answered: After landing')).toBeVisible();
	await expect(support.locator('[data-open-questions="0"]')).toBeVisible();
	await engineer.context().close();
	await support.context().close();
});
