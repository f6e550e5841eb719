import { expect, test } from '@playwright/test';
import { joinAs } from './crew.js';
import { ServedBoard } from './served-board.js';

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

test('support sees the workshop first, may try and propose, and the engineer uses what support proposes', async ({
	browser,
}) => {
	const support = await (await browser.newContext()).newPage();
	const engineer = await (await browser.newContext()).newPage();
	await joinAs(support, board.link('support'), 'support');
	await expect(support).toHaveTitle(/Workshop$/);
	await expect(support.getByText('S writes')).toBeVisible();
	await expect(support.getByRole('button', { name: 'Propose this' })).toBeVisible();
	await expect(support.getByRole('button', { name: 'Use this proposal' })).toHaveCount(0);
	await expect(support.getByRole('button', { name: 'Write down as done' })).toHaveCount(0);
	await support.getByRole('button', { name: 'Try my own' }).click();
	await support.getByRole('button', { name: 'One more: Blade B plates' }).click();
	await support.getByRole('button', { name: 'Propose this' }).click();

	await joinAs(engineer, board.link('engineer'), 'engineer');
	await expect(engineer).toHaveTitle(/Workshop$/);
	await expect(engineer.getByText(/^S proposes: .*Blade B plates: 0 plates to 1 plate/)).toBeVisible();
	await engineer.getByRole('button', { name: 'Use what S proposes' }).click();
	await expect(support.getByText('in use', { exact: true })).toBeVisible();
	await expect(engineer.getByRole('button', { name: 'Write down as done' })).toBeVisible();
	await support.context().close();
	await engineer.context().close();
});

test('a reviewer sees the review first and has no key that writes', async ({ browser }) => {
	const page = await (await browser.newContext()).newPage();
	await joinAs(page, board.link('reviewer'), 'reviewer');
	await expect(page).toHaveTitle(/Review$/);
	await expect(page.getByText('reads along', { exact: true })).toBeVisible();
	await page.getByRole('link', { name: 'Workshop' }).click();
	await expect(page.getByRole('button', { name: 'Try my own' })).toBeVisible();
	await expect(page.getByRole('button', { name: /^(Use|Propose|Write down|Say as)/ })).toHaveCount(0);
	await page.getByRole('link', { name: 'Cockpit' }).click();
	await expect(page.getByText('You read along. Pilot and engineer write on the card.')).toBeVisible();
	await expect(page.getByRole('button', { name: /^(Begin|Mark|Next|Done|Measured)/ })).toHaveCount(0);
	await page.context().close();
});

test('on the tail rotor a mass point that no blade carries is shown and can be tried', async ({ browser }) => {
	const page = await (await browser.newContext()).newPage();
	await joinAs(page, board.link('engineer'), 'engineer');
	await page.getByRole('button', { name: 'Tail rotor', exact: true }).click();
	await page.getByRole('button', { name: 'Try my own' }).click();
	const stepper = page.getByRole('listitem').filter({ hasText: 'Point 2 washers' }).first();
	const before = Number(await stepper.locator('strong').textContent());
	await page.getByRole('button', { name: 'One more: Point 2 washers' }).click();
	await expect(stepper.locator('strong')).toHaveText(String(before + 1));
	await expect(page.locator('svg text').filter({ hasText: /^w2$/ }).first()).toBeVisible();
	await page.context().close();
});
