import { readFileSync } from 'node:fs';
import { join as pathOf } from 'node:path';
import { expect, type Page, test } from '@playwright/test';
import { join } from './crew.js';
import { ServedBoard } from './served-board.js';

/** Every scenario on the board: served with a link for each role, and opened alone from the page of invented checks. */

const names = [
	'wrong-blade',
	'tail-rotor',
	'hidden-defect',
	'offline-cockpit',
	'lost-tablet',
	'one-witness',
	'power-trend',
	'whole-card',
] as const;
const board = new ServedBoard(names);
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const shots = process.env.STILLMAST_SHOTS;
async function shot(page: Page, name: string): Promise<void> {
	if (shots !== undefined) await page.screenshot({ path: `${shots}/scenario-${name}.png`, fullPage: true });
}

function expectedOf(name: string): Record<string, unknown> {
	const file = pathOf(import.meta.dirname, '..', '..', 'demo-scenarios', name, 'expected.json');
	return JSON.parse(readFileSync(file, 'utf8')) as Record<string, unknown>;
}

const tab = (page: Page, name: RegExp) => page.getByRole('button', { name });

/** What somebody who opens it sees: the point that it teaches. */
const points: Readonly<Record<string, (page: Page) => Promise<void>>> = {
	'after-gearbox-smoothing': (page) => expect(page.getByText('recommended')).toBeVisible({ timeout: 20_000 }),
	'wrong-blade': (page) =>
		expect(page.getByText(/was made one place further on/).first()).toBeVisible({ timeout: 20_000 }),
	'tail-rotor': async (page) => {
		await tab(page, /^Tail rotor/).click();
		await expect(page.getByText('Point 2: add 4 washers (5 to 9)')).toBeVisible({ timeout: 20_000 });
		await expect(page.getByText(/22° later/)).toBeVisible();
	},
	'hidden-defect': async (page) => {
		await expect(page.getByText('Stop and inspect first')).toBeVisible({ timeout: 20_000 });
		await expect(page.getByText('Two changes in a row made the worst reading larger.')).toBeVisible();
	},
	'offline-cockpit': async (page) => {
		await tab(page, /^To agree 1/).click();
		await expect(page.getByText('0.10 ips 27°', { exact: true })).toBeVisible();
		await expect(page.getByText('0.19 ips 27°', { exact: true })).toBeVisible();
	},
	'lost-tablet': async (page) => {
		const { unsent } = expectedOf('lost-tablet');
		await expect(page.getByText(`Added after signing: ${unsent}. Needs signature again.`)).toBeVisible();
		await expect(page.getByText(`It came back. Added after signing, of that device: ${unsent}.`)).toBeVisible();
	},
	'one-witness': async (page) => {
		await tab(page, /^Limits passed 1/).click();
		await expect(page.getByText('to decide').first()).toBeVisible();
		await expect(page.getByText('at least 103.0 %').first()).toBeVisible();
		await expect(page.getByText('at least 0.5 s').first()).toBeVisible();
	},
	'power-trend': async (page) => {
		await tab(page, /^Engine/).click();
		await expect(page.getByText('At zero in about 85 h, in 72 h at the earliest.')).toBeVisible();
	},
	'whole-card': (page) => expect(page.getByText('Papers · work done and open items read')).toBeVisible(),
};

for (const name of ['hidden-defect', 'lost-tablet'] as const) {
	test(`${name} is served: a link lets an engineer in, who sees its point`, async ({ page }) => {
		const { record, links } = board.scenario(name);
		await join(page, links.engineer ?? '', 'engineer');
		await page.goto(`${board.url}/check/${record}/${name === 'lost-tablet' ? 'review' : 'workshop'}`);
		await points[name]?.(page);
	});
}

test('each is on the page of invented checks, opens there on this device alone, and shows its point', async ({
	page,
}) => {
	// nine checks are played one after the other
	test.slow();
	await page.goto(board.url);
	await page.getByRole('button', { name: 'I have read this' }).click();
	await page.getByRole('link', { name: 'More invented checks' }).click();
	const listed = page.locator('[data-scenario]');
	await expect(listed).toHaveCount(Object.keys(points).length);
	await shot(page, 'list');
	for (const [name, seesPoint] of Object.entries(points)) {
		await page.goto(`${board.url}/scenarios`);
		await page.locator(`[data-scenario="${name}"]`).getByRole('button').click();
		await expect(page.getByLabel('Sample', { exact: true })).toBeVisible({ timeout: 20_000 });
		await expect(page.getByText('kept on this device only')).toBeVisible();
		await seesPoint(page);
		await shot(page, name);
	}
	// opened again, it is the same check
	await page.goto(`${board.url}/scenarios`);
	await page.locator('[data-scenario="whole-card"]').getByRole('button').click();
	await points['whole-card']?.(page);
	await page.goto(board.url);
	await expect(page.getByRole('article')).toHaveCount(Object.keys(points).length);
});
