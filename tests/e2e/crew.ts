import { expect, type Page } from '@playwright/test';
import { readingsAt, type SimulatedReading } from './invented-rotor.js';

/** What pilot and engineer do on the board, by the words they see. Every wait is for a state, none for a time. */

const codeOf = { pilot: '4321', engineer: '1234' } as const;
export type CrewRole = keyof typeof codeOf;

export async function join(page: Page, link: string, role: CrewRole): Promise<void> {
	await page.goto(link);
	await page.getByLabel('Your name').fill(`Demo ${role}`);
	await page.getByLabel('Licence number').fill(`XX-${role}`);
	await page.getByLabel('A code of your own').fill(codeOf[role]);
	await page.getByRole('button', { name: 'Join' }).last().click();
	await page.getByRole('button', { name: 'The words are the same' }).click();
	await expect(page.getByText(role === 'pilot' ? 'P writes' : 'E writes')).toBeVisible();
}

/** Joins in any role; what it may do is then for the table of roles. */
export async function joinAs(page: Page, link: string, role: string): Promise<void> {
	await page.goto(link);
	await page.getByLabel('Your name').fill(`Demo ${role}`);
	await page.getByLabel('A code of your own').fill('2468');
	await page.getByRole('button', { name: 'Join' }).last().click();
	await page.getByRole('button', { name: 'The words are the same' }).click();
	await expect(page.locator('[data-link="open"]')).toBeVisible();
}

/** Says something about the check as a whole, on the page of workshop or review. */
export async function say(page: Page, key: 'Remark' | 'Ask', text: string): Promise<void> {
	const words = page.getByLabel('Your words');
	if (!(await words.isVisible())) await page.getByText(/^Remarks and questions/).click();
	await words.fill(text);
	await page.getByRole('button', { name: key, exact: true }).click();
	await expect(words).toHaveValue('');
}

/** Leaves every step for later that is not flown, and ends the flight. */
export async function leaveRest(page: Page, flight: number): Promise<void> {
	const end = page.getByRole('button', { name: `End flight ${flight}` });
	const card = page.getByRole('button', { name: 'Card', exact: true });
	for (await card.waitFor(); !(await end.isVisible()); await card.waitFor()) {
		await card.click();
		await page.getByRole('button', { name: 'Leave for later' }).click();
	}
	await end.click();
	await expect(page.getByRole('heading', { name: 'Rotor stopped' })).toBeVisible();
}

export async function open(page: Page, view: 'Cockpit' | 'Workshop' | 'Review'): Promise<void> {
	if (new RegExp(`${view}$`).test(await page.title())) return;
	const link = page.getByRole('link', { name: view, exact: true });
	// in flight the other views stand behind the card key, and that behind a pad
	const card = page.getByRole('button', { name: 'Card', exact: true });
	const back = page.getByRole('button', { name: 'Back', exact: true });
	await expect(link.or(card).or(back).first()).toBeVisible();
	if (await back.isVisible()) await back.click();
	if (await card.isVisible()) await card.click();
	await link.click();
	await expect(page).toHaveTitle(new RegExp(`${view}$`));
}

/** Everything on this page is on its disk and stored at the host. */
export async function allStored(page: Page): Promise<void> {
	await expect(page.locator('[data-not-at-host="0"][data-being-kept="0"][data-link="open"]')).toBeVisible();
}

/** Everything on this page is on its disk, host or no host. */
export async function allOnDevice(page: Page): Promise<void> {
	await expect(page.locator('[data-being-kept="0"]')).toBeVisible();
}

export async function entryCount(page: Page): Promise<number> {
	return Number(await page.locator('[data-entries]').getAttribute('data-entries'));
}

/** Flies the whole card and writes every number with the pad. */
export async function flyCard(page: Page, flight: number, settings: Readonly<Record<string, number>>): Promise<void> {
	await page.getByRole('button', { name: `Begin flight ${flight}` }).click();
	const readings = readingsAt(settings);
	const of = (regime: string) => readings.filter(({ channel }) => channel.startsWith(`${regime}/`));
	await tickAll(page, 'Walk round');
	await next(page);
	await writeVibrations(page, 'Ground, flat pitch', [...of('ground'), tailReading]);
	await next(page);
	await tickAll(page, 'Lift-off');
	await next(page);
	await writeVibrations(page, 'Hover', of('hover'));
	await next(page);
	await writeVibrations(page, '80 kt level', of('80kt'));
	await next(page);
	await writeVibrations(page, '110 kt level', of('110kt'));
	await writeNumber(page, '81.5');
	await next(page);
	await tickAll(page, 'Land and shut down');
	await next(page);
	await tickAll(page, 'After flight');
	await next(page);
	await page.getByRole('button', { name: `End flight ${flight}` }).click();
	await expect(page.getByRole('heading', { name: 'Rotor stopped' })).toBeVisible();
}

const tailReading: SimulatedReading = { channel: 'ground/gearbox', amplitude: '0.08', phase: '212' };

export async function next(page: Page): Promise<void> {
	await page.getByRole('button', { name: 'Next' }).click();
}

export async function tickAll(page: Page, title: string): Promise<void> {
	await expect(page.getByRole('heading', { name: title })).toBeVisible();
	const open = page.getByRole('button', { name: /^Done: / });
	for (let left = await open.count(); left > 0; left -= 1) {
		await open.first().click();
		await expect(open).toHaveCount(left - 1);
	}
}

/** One after the other: the pad goes on to the next number of the step by itself. */
async function writeVibrations(page: Page, title: string, readings: readonly SimulatedReading[]): Promise<void> {
	await expect(page.getByRole('heading', { name: title })).toBeVisible();
	await page.getByRole('button', { name: 'Write a number' }).click();
	await page.locator('[data-face="choose"] main').getByRole('button').first().click();
	for (const { amplitude, phase } of readings) {
		await writeNumber(page, amplitude, 'amplitude');
		await writeNumber(page, phase, 'phase');
	}
}

export async function writeNumber(page: Page, text: string, part?: string): Promise<void> {
	const pad = page.getByRole('region', { name: part === undefined ? /^Number pad/ : new RegExp(`${part}$`) });
	for (const figure of text) await pad.getByRole('button', { name: figure, exact: true }).click();
	await pad.getByRole('button', { name: /^Keep/ }).click();
}

/** Takes up the recommended proposal and writes it down as done and measured; answers with the settings that are now on. */
export async function useProposal(page: Page): Promise<Record<string, number>> {
	await page.getByRole('button', { name: 'Use this proposal' }).click();
	await page.getByRole('button', { name: 'Write down as done' }).click();
	await page.getByRole('button', { name: 'Say as measured' }).click();
	await expect(page.getByText('made, not measured')).toHaveCount(0);
	const lines = await page
		.locator('[data-setting]')
		.evaluateAll((all) =>
			all.map(
				(line) => [line.getAttribute('data-setting') ?? '', line.querySelector('dd')?.textContent ?? ''] as const,
			),
		);
	return Object.fromEntries(lines.map(([id, text]) => [id, Number.parseFloat(text.trim().replace('\u2212', '-'))]));
}

export async function sign(page: Page, role: CrewRole): Promise<void> {
	await open(page, 'Workshop');
	await page.getByRole('button', { name: 'Sign', exact: true }).click();
	await page.getByLabel('Your code').fill(codeOf[role]);
	await page.getByRole('button', { name: `Sign as ${role}` }).click();
	await expect(page.getByText(`signed as ${role}`)).toBeVisible();
}
