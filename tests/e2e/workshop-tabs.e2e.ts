import { expect, test } from '@playwright/test';
import { expectNoViolation } from './axe.js';
import { allStored, join as joinCheck, open } from './crew.js';
import { ServedBoard } from './served-board.js';
import { callRamp, goToStep, hold, openWholeCheck, writeNumbers } from './whole-check.js';

/** The engineer's way over the tabs beside the rotors: limits passed on the demo flight, the rest on the whole card. */

const tablet = { width: 834, height: 1112 };
const laptop = { width: 1366, height: 860 };

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

test('a mark in flight becomes a limit passed: each witness alone, an instrument, a decision that later evidence reopens', async ({
	browser,
}) => {
	test.setTimeout(120_000);
	const pilot = await (await browser.newContext({ viewport: tablet })).newPage();
	const engineer = await (await browser.newContext({ viewport: laptop })).newPage();
	await joinCheck(pilot, board.link('pilot'), 'pilot');
	await joinCheck(engineer, board.link('engineer'), 'engineer');

	await pilot.getByRole('button', { name: /^Begin flight/ }).click();
	await goToStep(pilot, '110 kt level');
	await pilot.getByRole('button', { name: 'Mark' }).click();
	await allStored(pilot);

	await open(engineer, 'Workshop');
	await engineer.getByRole('button', { name: 'Limits passed 1' }).click();
	await engineer.getByRole('button', { name: /^It was a limit/ }).click();
	await expect(engineer.getByLabel('In which step')).toHaveValue('110 kt level');
	await engineer.getByRole('button', { name: 'Keep what I saw' }).click();
	await expect(engineer.getByText('Write one number, or say that you saw nothing.')).toBeVisible();
	await engineer.getByLabel('Highest you are sure of').fill('92,0');
	await engineer.getByLabel('Highest it may have been').fill('95');
	await engineer.getByLabel('At least, seconds').fill('2');
	await engineer.getByRole('button', { name: 'Keep what I saw' }).click();
	await expect(engineer.locator('[data-line="torque-above-40"][data-verdict="possible"]')).toBeVisible();
	await expect(engineer.locator('[data-mark="explained"]')).toHaveCount(1);
	await allStored(engineer);

	// the pilot's page shows no answer before the pilot's own is written
	await open(pilot, 'Workshop');
	await pilot.getByRole('button', { name: 'Limits passed 1' }).click();
	await expect(pilot.getByText('Hidden until yours is written: E.')).toBeVisible();
	await expect(pilot.getByText('92.0')).toHaveCount(0);
	await pilot.getByRole('button', { name: 'I saw nothing of it' }).click();
	await expect(pilot.getByText('92.0 to 95.0 %')).toBeVisible();
	await expect(pilot.getByText('The engineer\u2019s pen decides.')).toBeVisible();
	await allStored(pilot);

	// an instrument that was cleared lowers the most; the decision weighs all of it
	await expect(engineer.getByText('saw nothing').first()).toBeVisible();
	await engineer.getByLabel('It was at most').fill('91');
	await engineer.getByLabel('Why').fill('Gauge read together after landing.');
	await engineer.getByRole('button', { name: 'Write the decision' }).click();
	await expect(engineer.getByText('A reason and a manual reference are needed.')).toBeVisible();
	await engineer.getByLabel('Manual reference looked up').fill('check manual 2-1');
	await engineer.getByRole('button', { name: 'Write the decision' }).click();
	await expect(engineer.getByText('That is less than what was surely reached')).toBeVisible();
	await engineer.getByLabel('It was at most').fill('92.5');
	await engineer.getByRole('button', { name: 'Write the decision' }).click();
	await expect(engineer.locator('[data-decided]')).toContainText('not passed');
	await expect(engineer.getByRole('button', { name: 'Limits passed', exact: true })).toBeVisible();

	await engineer.getByRole('button', { name: 'What an instrument kept' }).click();
	await engineer.getByRole('textbox', { name: 'Instrument' }).fill('torque gauge');
	await engineer.getByLabel('Its highest value').fill('94.2');
	await engineer.getByLabel('Accurate to, either').fill('0.5');
	await engineer.getByLabel('Cleared before this flight').check();
	await engineer.getByRole('button', { name: 'Keep what it kept' }).click();
	await expect(engineer.locator('[data-line="torque-above-40"][data-verdict="proved"]')).toBeVisible();
	await expect(engineer.getByText('Evidence came after this decision. Decide again.')).toBeVisible();
	await expect(engineer.getByRole('button', { name: 'Limits passed 1' })).toBeVisible();
	await expectNoViolation(engineer, 'Limits passed, with everything said');
	await pilot.context().close();
	await engineer.context().close();
});

test('a hold, a consumer and two movements of the whole card are judged in their tabs, words are kept after landing', async ({
	browser,
}) => {
	test.setTimeout(240_000);
	const page = await (await browser.newContext({ viewport: tablet })).newPage();
	await openWholeCheck(page, board.url, 'ZZ-WA');
	await open(page, 'Cockpit');
	await page.getByRole('button', { name: 'Begin flight 1' }).click();

	await goToStep(page, 'Power assurance');
	await page.getByRole('button', { name: 'Confirm: cabin heater off' }).click();
	await page.getByRole('button', { name: 'Confirm: engine anti-ice off' }).click();
	await hold(page, 90);
	await page.getByRole('button', { name: 'Write a number' }).click();
	// torque, turbine temperature, gas generator, pressure altitude, outside air: of the invented chart
	await writeNumbers(page, ['80', '655', '90.5', '2000', '5']);
	await expect(page.getByText('5 of 5 numbers')).toBeVisible();

	await goToStep(page, 'Cabin heater');
	for (const temperature of ['655', '671', '656']) {
		await hold(page, 30);
		await page.getByRole('button', { name: 'Write a number' }).click();
		await writeNumbers(page, [temperature, '80']);
	}

	await goToStep(page, 'Lever up in 3 s');
	await callRamp(page, 3);
	await page.getByRole('button', { name: 'Write what was seen' }).click();
	await writeNumbers(page, ['96', '741', '96.5']);
	await page.getByRole('button', { name: 'Keep it' }).click();
	await callRamp(page, 4.5);
	// leaving without Keep loses nothing that was timed
	await page.getByRole('button', { name: 'Back' }).click();
	await expect(page.getByText('2 flown')).toBeVisible();

	await goToStep(page, 'Return');
	await expect(page.getByText('write after landing')).toBeVisible();

	await page.setViewportSize(laptop);
	await open(page, 'Workshop');
	await expect(page.locator('nav [data-tab]')).toHaveText([
		'Main rotor',
		'Tail rotor',
		'Engine',
		'Bleed',
		'Ramps',
		'Limits passed',
		'To agree 0',
		'Sign',
	]);
	await page.getByRole('button', { name: 'Engine', exact: true }).click();
	await expect(page.getByText('Declared steady by E, 90 of 90 s.')).toBeVisible();
	await expect(page.locator('[data-counts="true"]')).toBeVisible();
	// the invented chart allows 673 °C at 80 %, 2000 ft and +5 °C
	await expect(page.locator('[data-chart="totC"]')).toContainText('margin +18 °C');
	await expect(page.locator('[data-chart="totC"]')).toContainText('limit 673 °C, read 655 °C');
	await expectNoViolation(page, 'Engine');

	await page.getByRole('button', { name: 'Bleed', exact: true }).click();
	await expect(page.locator('[data-consumer="heater"]')).toHaveText('works');
	// 671 over a line from 655 to 656; where on that line follows from when the parts were held
	await expect(page.getByText(/Rise \+1(5\.\d|6\.0) °C/)).toBeVisible();
	await expectNoViolation(page, 'Bleed');

	await page.getByRole('button', { name: 'Ramps', exact: true }).click();
	await expect(page.locator('[data-attempt]')).toHaveCount(2);
	await expect(page.getByText('2 flown: 1 inside, 1 outside, 0 cannot tell.')).toBeVisible();
	// rotor speed fell below its line in the first attempt
	await expect(page.locator('[data-attempt]').first()).toContainText('outside');
	await expectNoViolation(page, 'Ramps');

	await page.getByRole('button', { name: 'Sign', exact: true }).click();
	const words = page.getByRole('textbox', { name: /left out/ });
	await words.fill('Nothing left over.');
	await page.getByRole('button', { name: /^Keep these words: .*left out/ }).click();
	await expect(page.getByText('Nothing left over.')).toBeVisible();
	await expectNoViolation(page, 'Sign, with words of one\u2019s own');
	await page.context().close();
});
