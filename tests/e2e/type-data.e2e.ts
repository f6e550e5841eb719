import { expect, type Page, test } from '@playwright/test';
import { choose, press, tabTo, typeInto } from './keyboard.js';
import { ServedBoard } from './served-board.js';

/**
 * Journey "own type data", by keyboard alone: from nothing to a check, every number with its source and compared by
 * another person. All numbers are invented.
 */

const shots = process.env.STILLMAST_SHOTS;
const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

test('an engineer sets up an aircraft type from nothing by keyboard and opens a check with it', async ({ browser }) => {
	// Some 300 keys and five pages: on a busy machine that takes its time.
	test.setTimeout(300_000);
	const page = await (await browser.newContext({ viewport: { width: 1366, height: 860 } })).newPage();
	await page.goto(`${board.url}/new`);
	await press(page, 'Type your own data');
	await expect(page.getByText('No type data on this device yet.')).toBeVisible();
	await typeInto(page, 'Aircraft type', 'Heron 2');
	await page.keyboard.press('Enter');
	await expect(page.getByRole('heading', { name: 'Heron 2, revision 1' })).toBeVisible();

	await typeInto(page, 'Document', 'Heron manual (invented)');
	await typeInto(page, 'Revision', '4');
	await typeInto(page, 'Page', '2-1');
	await typeInto(page, 'Typed by', 'Ada Berg');
	await typeLimits(page);
	await shot(page, 'limits');
	await typeCard(page);
	await shot(page, 'card');
	// two pages are enough
	await expect(page.getByText('3 numbers are not compared by another person.')).toBeVisible();
	await typeRotor(page);
	await shot(page, 'rotor');
	await typeChart(page);
	await shot(page, 'charts');
	await typeBleed(page);
	await shot(page, 'bleed');

	await page.reload();
	await expect(page.getByRole('heading', { name: 'Heron 2, revision 1' })).toBeVisible();
	await press(page, /^Compare/);
	await typeInto(page, 'Compared by', 'ada berg');
	await press(page, /^Compared: torque: Not above 100/);
	await expect(page.getByText('Who typed a number cannot compare it.')).toBeVisible();
	await typeInto(page, 'Compared by', 'Bo Falk');
	await tabTo(page, /^Compared: torque: Not above 100/);
	// the key goes on to the next number by itself
	const open = page.locator('[data-open]');
	for (let left = await open.count(); left > 0; left -= 1) {
		await page.keyboard.press('Enter');
		await expect(open).toHaveCount(left - 1);
	}
	await shot(page, 'compare');
	await press(page, 'Put into use');
	await expect(page.getByText('New checks open with it.')).toBeVisible();

	await press(page, 'Open a check with it');
	await typeInto(page, 'Registration', 'ZZ-LMA');
	await typeInto(page, 'Your name', 'Ada Berg');
	await typeInto(page, 'A code of your own, 4 to 8 figures', '2468');
	await press(page, 'Open the check');
	await expect(page.getByRole('status')).toHaveText('Registrations with ZZ- are for samples and trials.');
	await typeInto(page, 'Registration', 'TEST-1');
	await press(page, 'Open the check');
	await expect(page.getByText('before flight 1')).toBeVisible();
	await expect(page.getByText('TEST-1').first()).toBeVisible();
	await expect(page.getByRole('region', { name: 'Sample' })).toHaveCount(0);
	await press(page, 'Cockpit');
	await press(page, /^Begin flight 1/);
	await expect(page.getByRole('heading', { name: 'Hover' })).toBeVisible();
	await expect(page.getByText('100.0 %').first()).toBeVisible();
	await page.context().close();
});

test('limits and a card alone open a trial check, and what has no page is written down and not judged', async ({
	page,
}) => {
	const line = {
		id: 'torque',
		words: 'torque',
		parameter: 'torquePct',
		unit: '%',
		above: 100,
		maxSeconds: 0,
		reference: '-',
	};
	const step = { id: 'hover', title: 'Hover', phase: 'hover', hold: 'Into wind.', lines: ['torque'], fields: [] };
	const parts = { revision: '1', invented: false, type: 'Heron 2' };
	const lists = { rotors: [], limits: [line], dependencies: [], consumers: [] };
	const documents = {
		'type.json': { format: 'stillmast/type@1', ...parts, ...lists },
		'card.json': {
			format: 'stillmast/card@1',
			...parts,
			id: 'card',
			title: 'After repair',
			signedBy: ['engineer'],
			steps: [step],
		},
	};
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(String(error)));
	await page.goto(`${board.url}/type`);
	await page.locator('input[type=file]').setInputFiles(
		Object.entries(documents).map(([name, document]) => ({
			name,
			mimeType: 'application/json',
			buffer: Buffer.from(JSON.stringify(document)),
		})),
	);
	await page.getByRole('link', { name: 'Open a check with it' }).click();
	await page.getByLabel('Registration').fill('ZZ-TRY');
	await page.getByLabel('Your name').fill('Ada Berg');
	await page.getByLabel('A code of your own').fill('2468');
	await page.getByRole('button', { name: 'Open the check' }).click();
	await expect(page.getByRole('region', { name: 'Sample' })).toBeVisible();
	for (const view of ['Workshop', 'Review', 'Cockpit']) {
		await page.getByRole('link', { name: view, exact: true }).click();
		await expect(page).toHaveTitle(new RegExp(`${view}$`));
		await expect(page.getByText('ZZ-TRY').first()).toBeVisible();
	}
	expect(errors).toEqual([]);
});

async function typeLimits(page: Page): Promise<void> {
	await typeInto(page, 'Add a limit line: what it limits', 'torque');
	await page.keyboard.press('Enter');
	await typeInto(page, 'Quantity', 'torquePct');
	await typeInto(page, 'Unit', '%');
	await typeInto(page, 'Not above', '1oo');
	await expect(page.getByText('torque: Not above: found 1oo, needed a number.').first()).toBeVisible();
	await page.keyboard.press('ControlOrMeta+a');
	await page.keyboard.type('100');
	await expect(page.getByText('found 1oo')).toHaveCount(0);
	await typeInto(page, 'Seconds allowed beyond (0: never)', '0');
	await expect(page.getByRole('button', { name: /^Limits/ })).toContainText('whole');
}

async function typeCard(page: Page): Promise<void> {
	await press(page, /^Card/);
	await typeInto(page, 'Title of the card', 'After repair');
	await addStep(page, 'Hover', 'hover', 'Into wind at 5 ft.');
	await press(page, 'torque', 'Space');
	await typeInto(page, 'Add a number to write down', 'torque');
	await page.keyboard.press('Enter');
	await typeInto(page, 'Unit', '%');
	await typeInto(page, 'Finest step', '0,5');
	await choose(page, 'Limit line', 'torque');
	await addStep(page, '80 kt level', 'level', 'Hold 80 kt.');
	await typeInto(page, 'Airspeed, kt', '80');
	await typeInto(page, 'Add something to confirm', 'ball in the middle');
	await page.keyboard.press('Enter');
	await expect(page.getByRole('button', { name: /^Card/ })).toContainText('whole');
}

async function addStep(page: Page, title: string, phase: string, hold: string): Promise<void> {
	await typeInto(page, 'Add a step: its title', title);
	await page.keyboard.press('Enter');
	await choose(page, 'Part of the flight', phase);
	await typeInto(page, 'What to hold', hold);
}

async function typeRotor(page: Page): Promise<void> {
	await press(page, /^Rotor/);
	await typeInto(page, 'Add a rotor: its name', 'Main rotor');
	await page.keyboard.press('Enter');
	await typeInto(page, 'Turns a minute, rpm', '390');
	await choose(page, 'Turns', 'anti');
	await typeInto(page, 'Seen from', 'above');
	await choose(page, 'Blades', '3');
	await typeInto(page, /^Add a regime/, 'hover');
	await page.keyboard.press('Enter');
	await typeInto(page, /^Add a place of measurement/, 'lateral');
	await page.keyboard.press('Enter');
	await typeInto(page, 'hover lateral, Limit', '0,2');
	await typeInto(page, 'hover lateral, Goal', '0.1');
	await typeInto(page, 'hover lateral, Stop and inspect', '1');
	await typeInto(page, /^Add what can be changed/, 'plate');
	await page.keyboard.press('Enter');
	await typeInto(page, 'Least', '0');
	await typeInto(page, 'Most', '8');
	await typeInto(page, 'Step', '1');
	await typeInto(page, 'plate, hover lateral, ips', '0.06');
	await typeInto(page, 'plate, hover lateral, phase, degrees', '38');
	await typeInto(page, /^How far the table may be off/, '0.3');
	await typeInto(page, 'scatter, ips', '0.02');
	await typeInto(page, 'scatter, share of the reading', '0.06');
	await typeInto(page, 'share common to one run', '0.3');
	await expect(page.getByRole('button', { name: /^Rotor/ })).toContainText('whole');
	await press(page, /^Card/);
	await press(page, 'Readings of Main rotor, hover');
	await expect(page.getByText('Main rotor: hover lateral').first()).toBeVisible();
}

async function typeChart(page: Page): Promise<void> {
	await press(page, /^Charts/);
	await typeInto(page, 'Add a chart: what is read from it', 'torque available');
	await page.keyboard.press('Enter');
	await typeInto(page, 'Unit', '%');
	await press(page, /^Several curves/, 'Space');
	await typeInto(page, 'Values along the bottom', '0 20 40');
	await typeInto(page, 'Values of the curves', '0 4000');
	const values = [
		[100, 96, 88],
		[95, 90, 81],
	];
	for (const [row, height] of [0, 4000].entries()) {
		for (const [column, oat] of [0, 20, 40].entries()) {
			await typeInto(page, `pressure altitude ${height}, outside air ${oat}`, String(values[row]?.[column]));
		}
	}
	await expect(page.getByRole('img', { name: /^Power chart/ })).toBeVisible();
	await expect(page.getByRole('button', { name: /^Charts/ })).toContainText('whole');
}

async function typeBleed(page: Page): Promise<void> {
	await press(page, /^Bleed/);
	await typeInto(page, 'Add a consumer: its name', 'cabin heat');
	await page.keyboard.press('Enter');
	await typeInto(page, 'Least rise, \u00b0C', '8');
	await typeInto(page, 'Most rise, \u00b0C', '22');
	await expect(page.getByRole('button', { name: /^Bleed/ })).toContainText('whole');
}

async function shot(page: Page, name: string): Promise<void> {
	if (shots !== undefined) await page.screenshot({ path: `${shots}/type-${name}.png`, fullPage: true });
}
