import { expect, type Locator, type Page, test } from '@playwright/test';
import { extractText, getDocumentProxy } from 'unpdf';
import { join as joinCheck, open, sign } from './crew.js';
import { ServedBoard } from './served-board.js';

/** Sheets as Chromium prints them, read page by page. Paper sizes: ISO 216 and ANSI Y14.1 (common practice). */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

const pointsPerMm = 72 / 25.4;
const a4 = { widthMm: 210, heightMm: 297 };
const letter = { widthMm: 215.9, heightMm: 279.4 };
const shots = process.env.STILLMAST_SHOTS;

interface Printed {
	readonly texts: readonly string[];
	readonly widthMm: number;
	readonly heightMm: number;
}

async function print(page: Page, name: string): Promise<Printed> {
	const bytes = await page.pdf({
		preferCSSPageSize: true,
		printBackground: false,
		...(shots === undefined ? {} : { path: `${shots}/${name}.pdf` }),
	});
	const document = await getDocumentProxy(new Uint8Array(bytes));
	const { text } = await extractText(document, { mergePages: false });
	const { width, height } = (await document.getPage(1)).getViewport({ scale: 1 });
	// a PDF breaks lines where the sheet does
	return {
		texts: text.map((one) => one.replace(/\s+/g, ' ')),
		widthMm: width / pointsPerMm,
		heightMm: height / pointsPerMm,
	};
}

async function openSheet(page: Page, sheet: string): Promise<string> {
	await page.goto(`${board.url}/check/${board.record}/print?sheet=${sheet}`);
	const paper = page.locator('[data-digest]');
	await expect(paper).toBeVisible();
	await expect(page.locator('[data-link="open"]')).toBeVisible();
	return (await paper.getAttribute('data-digest')) ?? '';
}

/** Work, gear and the next flight's conditions, each kept sheet by sheet; a reader finds them in review. */
async function prepare(page: Page): Promise<void> {
	await page.goto(`${board.url}/check/${board.record}/prepare`);
	const sheet = (name: string) => page.getByRole('region', { name });
	const keep = (name: string) =>
		sheet(name)
			.getByRole('button', { name: /^Write down/ })
			.click();
	await sheet('The work').getByLabel('place').fill('Hangar 2');
	await keep('The work');
	await expect(sheet('The work').getByText('Hangar 2')).toBeVisible();
	const gear = sheet('Another instrument');
	await gear.getByRole('textbox', { name: 'instrument' }).fill('vibration set');
	await gear.getByLabel('serial number').fill('0114');
	await gear.getByLabel('which channel sits where').fill('lateral at the hub');
	await gear.getByLabel('calibration due').fill('next year');
	await keep('Another instrument');
	await expect(gear.getByText('write the day as 2026-11-30')).toBeVisible();
	await gear.getByLabel('calibration due').fill('2020-01-31');
	await keep('Another instrument');
	await expect(sheet('Instrument 1').getByText(/^Calibration of vibration set was due 2020-01-31/)).toBeVisible();
	await sheet('Conditions of flight 2').getByLabel('outside air').fill('-4,5');
	await keep('Conditions of flight 2');
	await expect(sheet('Conditions of flight 2').getByText('\u22124.5 °C')).toBeVisible();
	if (shots !== undefined) await page.screenshot({ path: `${shots}/prepare.png`, fullPage: true });
	await open(page, 'Review');
	await expect(page.getByRole('region', { name: 'Measuring gear' })).toContainText('serial 0114');
}

/** Half a millimetre: a PDF's page box is rounded to whole points. */
function expectSize(printed: Printed, size: typeof a4): void {
	expect(Math.abs(printed.widthMm - size.widthMm)).toBeLessThan(0.5);
	expect(Math.abs(printed.heightMm - size.heightMm)).toBeLessThan(0.5);
}

function expectEachPageNamed(printed: Printed, digest: string): void {
	printed.texts.forEach((text, index) => {
		expect(text).toContain(`page ${index + 1} of ${printed.texts.length}`);
		expect(text).toContain(`ZZ-LMW · digest ${digest.slice(0, 12)}`);
		expect(text).toContain('Sample');
	});
}

test('the report names all that a quality department asks for, on A4 and Letter, unsigned and added to after signing', async ({
	browser,
}) => {
	test.setTimeout(120_000);
	const page = await (await browser.newContext()).newPage();
	await joinCheck(page, board.link('engineer'), 'engineer');
	const digest = await openSheet(page, 'report');
	const report = await print(page, 'report');
	expectSize(report, a4);
	expect(report.texts.length).toBeGreaterThanOrEqual(2);
	expectEachPageNamed(report, digest);
	for (const text of report.texts) expect(text).toContain('UNSIGNED');
	const whole = report.texts.join(' ');
	for (const heading of [
		'Aircraft and work',
		'People, as they declared themselves',
		'Measuring gear',
		'Configuration: settings on the aircraft',
		'Results against limits',
		'Adjustments made and measured',
		'Limits passed',
		'Signatures',
		'Added after signing',
		'Open items',
		'Cautions',
	]) {
		expect(whole).toContain(heading);
	}
	expect(whole).toContain('0307');
	expect(whole).toContain('4182.3 h');
	expect(whole).toContain('mass 2060 kg');
	expect(whole).toContain('Demo engineer');
	expect(whole).toMatch(/hover lateral .*0\.25/);
	expect(whole).toContain('outside');
	expect(whole).toContain('This is a record of a check, not a release to service.');
	// joined by a link and signed nothing yet
	expect(whole).toContain('none declared');
	const last = report.texts.at(-1) ?? '';
	// a sheet may break a long name at its hyphens
	const lastUnbroken = last.replaceAll(' ', '');
	expect(lastUnbroken).toContain(digest);
	expect(lastUnbroken).toContain(board.record);

	await page.getByRole('button', { name: 'Letter' }).click();
	const onLetter = await print(page, 'report-letter');
	expectSize(onLetter, letter);
	expectEachPageNamed(onLetter, digest);

	await prepare(page);
	await openSheet(page, 'report');
	const prepared = (await print(page, 'report-prepared')).texts.join(' ');
	expect(prepared).toMatch(/place Hangar 2 E \d\d:\d\dZ/);
	expect(prepared).toContain('vibration set, serial 0114, calibration due 2020-01-31, lateral at the hub');
	expect(prepared).toContain('Calibration of vibration set was due 2020-01-31, before flight 1.');
	expect(prepared).toContain('Demo engineer engineer XX-engineer');

	await open(page, 'Workshop');
	await sign(page, 'engineer');
	await openSheet(page, 'report');
	expect((await print(page, 'report-in-part')).texts[0]).toContain('SIGNED IN PART: engineer');
	const pilot = await (await browser.newContext()).newPage();
	await joinCheck(pilot, board.link('pilot'), 'pilot');
	await expect(pilot.locator('[data-link="open"]')).toBeVisible();
	await sign(pilot, 'pilot');
	const inWords = page.locator('.report .state');
	await expect(inWords).toHaveText(/^SIGNED: /);
	const signed = (await print(page, 'report-signed')).texts.join(' ');
	expect(signed).toContain('XX-pilot');
	expect(signed).toContain('I flew these steps and saw the values marked P.');

	await page.goto(`${board.url}/check/${board.record}/write-in`);
	await page.getByRole('button', { name: 'Open flight 2 from paper' }).click();
	await page.getByRole('button', { name: /^Done on paper: measuring gear/ }).click();
	await expect(page.getByText('in the record: done')).toBeVisible();
	await page.getByRole('textbox', { name: 'hover lateral, ips' }).fill('0,21');
	await page.getByRole('textbox', { name: 'hover lateral, phase in degrees' }).fill('150');
	await page.getByRole('button', { name: 'Write down: hover lateral' }).click();
	await expect(page.getByText('in the record: 0.21 ips 150')).toBeVisible();
	await page.getByRole('textbox', { name: 'hover vertical, ips' }).fill('much');
	await page.getByRole('button', { name: 'Write down: hover vertical' }).click();
	await expect(page.getByText('Write a number from 0 to 9.99.')).toBeVisible();
	await openSheet(page, 'report');
	await expect(inWords).toHaveText('ADDED AFTER SIGNING: 4');
	const added = await print(page, 'report-added');
	for (const text of added.texts) expect(text).toContain('ADDED AFTER SIGNING: 4');
	expect(added.texts.join(' ')).toContain('hover lateral, flight 2: 0.21 ips 150');
	// written down before the flight, taken up by it when it was opened
	expect(added.texts.join(' ')).toContain('outside air \u22124.5 °C');
	await page.context().close();
	await pilot.context().close();
});

test('the blank card keeps the order of the card with its limits; the head slip fits half a page', async ({
	browser,
}) => {
	const page = await (await browser.newContext()).newPage();
	await joinCheck(page, board.link('engineer'), 'engineer');
	const digest = await openSheet(page, 'card');
	const card = await print(page, 'card');
	expectSize(card, a4);
	expectEachPageNamed(card, digest);
	const whole = card.texts.join(' ');
	const places = ['Walk round', 'Ground, flat pitch', 'Lift-off', 'Hover', '80 kt level', '110 kt level'].map((title) =>
		whole.indexOf(title),
	);
	expect(places).toEqual(places.toSorted((a, b) => a - b));
	expect(places).not.toContain(-1);
	expect(whole).toContain('torque, to 40 kt 100.0 %');
	const boxMm = await page
		.locator('.card .line .box')
		.evaluateAll((boxes) => Math.min(...boxes.map((box) => box.getBoundingClientRect().height)) / (96 / 25.4));
	expect(boxMm).toBeGreaterThanOrEqual(9.9);

	await openSheet(page, 'slip');
	await expect(page.getByText('Nothing is planned on')).toBeVisible();
	await open(page, 'Workshop');
	await page.getByRole('button', { name: 'Try my own' }).click();
	await page.getByRole('button', { name: 'One more: Blade C plates' }).click();
	await page.getByRole('button', { name: 'One more: Blade C plates' }).click();
	await page.getByRole('button', { name: 'Use this proposal' }).click();
	await expect(page.getByRole('button', { name: 'Write down as done' })).toBeVisible();
	await openSheet(page, 'slip');
	await expect(page.locator('.slip')).toHaveCount(1);
	const slip = await print(page, 'slip');
	expectSize(slip, { widthMm: 210, heightMm: 148.5 });
	expect(slip.texts).toHaveLength(1);
	const count = /Blade C plates: 0 plates to (\d+) plates/.exec(slip.texts[0] ?? '')?.[1];
	expect(Number(count)).toBeGreaterThanOrEqual(2);
	expect(slip.texts[0]).toContain(`add ${count}`);
	await page.context().close();
});

/** Brightness of every pixel of a region, 0 to 255, and how far its colour is from grey. */
async function greysOf(page: Page, region: Locator): Promise<{ greys: number[]; colour: number }> {
	const png = (await region.screenshot()).toString('base64');
	return page.evaluate(async (text) => {
		const bytes = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
		const image = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
		const canvas = new OffscreenCanvas(image.width, image.height).getContext('2d');
		if (canvas === null) throw new Error('no canvas to read pixels from');
		canvas.drawImage(image, 0, 0);
		const { data } = canvas.getImageData(0, 0, image.width, image.height);
		const pixels = Array.from({ length: data.length / 4 }, (_, n) => Array.from(data.slice(4 * n, 4 * n + 3)));
		return {
			greys: pixels.map(([red = 0]) => red),
			colour: Math.max(...pixels.map((one) => Math.max(...one) - Math.min(...one))),
		};
	}, png);
}

test('in grey, what lies past a limit is told from what lies inside it by strokes and by its word', async ({
	browser,
}) => {
	const page = await (await browser.newContext({ deviceScaleFactor: 3 })).newPage();
	await joinCheck(page, board.link('engineer'), 'engineer');
	await openSheet(page, 'report');
	await page.emulateMedia({ media: 'print' });
	await page.evaluate(() => document.documentElement.style.setProperty('filter', 'grayscale(1)'));
	const row = (state: string) => page.locator(`.report li[data-state="${state}"]`).first();
	await expect(row('outside')).toContainText('outside');
	await expect(row('inside')).toContainText('inside');
	const share = (all: readonly number[], isIt: (grey: number) => boolean) => all.filter(isIt).length / all.length;
	const past = await greysOf(page, row('outside').locator('rect.past').first());
	const bar = await greysOf(page, row('inside').locator('rect.bar').first());
	// two tones past the limit, one in the free bar: no colour is needed to tell them apart
	expect(past.colour).toBeLessThanOrEqual(2);
	expect(share(past.greys, (grey) => grey < 90)).toBeGreaterThan(0.1);
	expect(share(past.greys, (grey) => grey > 130)).toBeGreaterThan(0.2);
	expect(share(bar.greys, (grey) => grey > 130)).toBeLessThan(0.2);
	if (shots !== undefined)
		await row('outside')
			.locator('..')
			.screenshot({ path: `${shots}/grey.png` });
	await page.context().close();
});
