import { expect, test } from '@playwright/test';
import { entryCount, join, joinAs, leaveRest, say } from './crew.js';
import { ServedBoard } from './served-board.js';

/** What support says reaches the crew between two steps, is answered with one key, and comes back after landing. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;

test('a question waits for the end of the step; put off, it is asked again after landing', async ({ browser }) => {
	const pilot = await (await browser.newContext({ viewport: { width: 834, height: 1112 } })).newPage();
	const support = await (await browser.newContext()).newPage();
	await join(pilot, board.link('pilot'), 'pilot');
	await joinAs(support, board.link('support'), 'support');
	await pilot.getByRole('button', { name: 'Begin flight 2' }).click();
	await expect(pilot.getByRole('heading', { name: 'Walk round' })).toBeVisible();
	await say(support, 'Ask', 'Which blade has the red sleeve?');
	await say(support, 'Remark', 'The link was made longer last month.');
	await expect.poll(async () => (await entryCount(pilot)) >= (await entryCount(support))).toBe(true);
	await expect(pilot.locator('[data-face="step"]')).toBeVisible();
	await expect(pilot.getByText('red sleeve')).toHaveCount(0);

	await pilot.getByRole('button', { name: 'Next' }).click();
	await expect(pilot.getByRole('heading', { name: 'S asks' })).toBeVisible();
	await expect(pilot.getByText('Which blade has the red sleeve?')).toBeVisible();
	if (shots !== undefined) await pilot.screenshot({ path: `${shots}/message.png` });
	await pilot.getByRole('button', { name: 'After landing' }).click();
	await expect(support.getByText('P answered: After landing')).toBeVisible();
	await expect(pilot.getByRole('heading', { name: 'S says' })).toBeVisible();
	await pilot.getByRole('button', { name: 'Seen' }).click();
	await expect(pilot.getByRole('heading', { name: 'Ground, flat pitch' })).toBeVisible();

	await leaveRest(pilot, 2);
	await pilot.getByRole('button', { name: 'Messages 1' }).click();
	await expect(pilot.getByRole('heading', { name: 'S asks' })).toBeVisible();
	await pilot.getByRole('button', { name: 'Not now' }).click();
	await pilot.getByRole('button', { name: 'Messages 1' }).click();
	await pilot.getByRole('button', { name: 'Seen' }).click();
	await expect(pilot.getByRole('heading', { name: 'Rotor stopped' })).toBeVisible();
	await expect(pilot.getByRole('button', { name: /^Messages/ })).toHaveCount(0);
	await expect(support.getByText('P answered: Seen')).toHaveCount(2);
	await expect(support.locator('[data-open-questions="0"]')).toBeVisible();
	await pilot.context().close();
	await support.context().close();
});
