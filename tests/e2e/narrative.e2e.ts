import { expect, type Page, test } from '@playwright/test';
import { join, joinAs, open } from './crew.js';
import { ServedBoard } from './served-board.js';

/** Two people write one text together; it becomes an entry of whoever keeps it. */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;

async function openText(page: Page): Promise<void> {
	await open(page, 'Workshop');
	await page.getByRole('button', { name: 'Sign', exact: true }).click();
}

test('what one types the other sees at once, with who types; kept, it is an entry and the draft is empty', async ({
	browser,
}) => {
	const pilot = await (await browser.newContext()).newPage();
	const engineer = await (await browser.newContext()).newPage();
	const support = await (await browser.newContext()).newPage();
	await join(pilot, board.link('pilot'), 'pilot');
	await join(engineer, board.link('engineer'), 'engineer');
	await joinAs(support, board.link('support'), 'support');
	for (const page of [pilot, engineer, support]) await openText(page);
	const [pilotText, engineerText] = [pilot, engineer].map((page) =>
		page.getByRole('textbox', { name: 'What happened' }),
	);
	await pilotText!.pressSequentially('A thump at 80 kt.');
	await expect(engineerText!).toHaveValue('A thump at 80 kt.');
	await engineerText!.press('End');
	await engineerText!.pressSequentially(' The lead weight was loose.');
	await expect(pilot.getByText('Demo engineer is typing.')).toBeVisible();
	await expect(pilotText!).toHaveValue('A thump at 80 kt. The lead weight was loose.');
	if (shots !== undefined) await pilot.screenshot({ path: `${shots}/narrative.png` });
	// a draft is no entry, and no business of support
	await expect(support.getByText('A thump at 80 kt.')).toHaveCount(0);
	await expect(support.getByRole('textbox', { name: 'What happened' })).toHaveCount(0);

	await engineer.getByRole('button', { name: 'Keep these words: What happened' }).click();
	for (const page of [pilot, engineer, support])
		await expect(page.getByText(/^A thump at 80 kt. The lead weight was loose. E \d\d:\d\dZ$/)).toBeVisible();
	await expect(pilotText!).toHaveValue('');
	for (const page of [pilot, engineer, support]) await page.context().close();
});
