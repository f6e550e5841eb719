import { expect, type Page, test } from '@playwright/test';
import { entryCount, joinAs, join as joinCheck, open, say } from './crew.js';
import { ServedBoard } from './served-board.js';
import { goToStep, hold, openWholeCheck, writeNumbers } from './whole-check.js';

/**
 * The cockpit measured in millimetres of glass, on every face of the card. Sizes as the design asks: about 16 mm a
 * target, 20 mm for what ends or begins, 3 mm between (Avsar, Fischer, Rodden, DASC 2015, doi
 * 10.1109/DASC.2015.7311400: 15 mm enough, 20 mm with the arm extended; published, abstract).
 */

const tall = { widthMm: 155, heightMm: 207 };
const wide = { widthMm: 207, heightMm: 155 };
/** A device pixel at the edge of a layout box: no hand feels it. */
const slackMm = 0.2;
const shots = process.env.STILLMAST_SHOTS;

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

interface Face {
	readonly name: string;
	readonly overPx: number;
	readonly tooSmall: readonly string[];
	readonly tooNear: readonly string[];
	readonly cut: readonly string[];
	readonly readBlocks: number;
	readonly touchBlocks: number;
	readonly targets: number;
}

function expectFaces(faces: readonly Face[], atLeast: number): void {
	for (const face of faces) {
		expect.soft(face, face.name).toMatchObject({ overPx: 0, tooSmall: [], tooNear: [], cut: [] });
		expect.soft(face.readBlocks, `${face.name}: blocks to read`).toBeLessThanOrEqual(5);
		expect.soft(face.touchBlocks, `${face.name}: blocks to touch`).toBeLessThanOrEqual(5);
		expect.soft(face.targets, `${face.name}: targets`).toBeGreaterThan(0);
	}
	expect(faces.length).toBeGreaterThanOrEqual(atLeast);
}

async function measure(page: Page, name: string, pxPerMm: number): Promise<Face> {
	return page.evaluate(
		({ name, pxPerMm, slackMm }) => {
			const glass = document.querySelector('.glass');
			if (glass === null) throw new Error('no glass on this page');
			const targets = [...glass.querySelectorAll<HTMLElement>('button, a')].filter((one) => one.offsetParent !== null);
			const words = (one: HTMLElement) => one.getAttribute('aria-label') ?? one.textContent?.trim() ?? '';
			const box = (one: Element) => one.getBoundingClientRect();
			const least = (one: HTMLElement) => (/^(Mark|Next|Begin|End|Keep)\b/i.test(words(one)) ? 20 : 16);
			const tooSmall = targets.flatMap((one) => {
				const { width, height } = box(one);
				const side = Math.min(width, height) / pxPerMm;
				return side < least(one) - slackMm ? [`${words(one)}: ${side.toFixed(1)} mm`] : [];
			});
			const tooNear = targets.flatMap((a, index) =>
				targets.slice(index + 1).flatMap((b) => {
					const [p, q] = [box(a), box(b)];
					const across = Math.max(p.left, q.left) - Math.min(p.right, q.right);
					const down = Math.max(p.top, q.top) - Math.min(p.bottom, q.bottom);
					const gap = Math.max(across, down) / pxPerMm;
					return gap < 3 - slackMm ? [`${words(a)} and ${words(b)}: ${gap.toFixed(1)} mm`] : [];
				}),
			);
			const room = glass.getBoundingClientRect();
			const blocks = [...glass.querySelectorAll('[data-block], button, a, main p, main h1, main li, main dd')];
			const touch = [...glass.querySelectorAll('.touch, .read, [data-block="touch"]')];
			const cut = [
				...blocks.flatMap((one) => {
					const { top, bottom, left, right, width } = box(one);
					const isOut =
						top < room.top - 1 || bottom > room.bottom + 1 || left < room.left - 1 || right > room.right + 1;
					return width > 1 && isOut ? [`${one.textContent?.trim().slice(0, 30)} leaves the glass`] : [];
				}),
				...[...glass.querySelectorAll<HTMLElement>('.key, .hold, .limits, .read')].flatMap((one) =>
					one.scrollHeight > one.clientHeight + 2 || one.scrollWidth > one.clientWidth + 2
						? [`${one.textContent?.trim().slice(0, 30)} is larger than its place`]
						: [],
				),
			];
			if (touch.length === 0) throw new Error('nothing to touch');
			const page = document.documentElement;
			return {
				name,
				overPx: Math.max(page.scrollHeight - page.clientHeight, page.scrollWidth - page.clientWidth),
				tooSmall,
				tooNear,
				cut,
				readBlocks: glass.querySelectorAll('[data-block="read"]').length,
				touchBlocks: [...glass.querySelectorAll('[data-block="touch"]')].filter(
					(one) => one.querySelector('button, a') !== null,
				).length,
				targets: targets.length,
			};
		},
		{ name, pxPerMm, slackMm },
	);
}

for (const perInch of [132, 163]) {
	for (const glass of [tall, wide]) {
		const way = glass === tall ? 'portrait' : 'landscape';
		test(`at ${perInch} CSS px an inch, ${way}: every face fits, targets and gaps are wide enough`, async ({
			browser,
		}) => {
			const pxPerMm = perInch / 25.4;
			const viewport = {
				width: Math.round(glass.widthMm * pxPerMm),
				height: Math.round(glass.heightMm * pxPerMm),
			};
			const context = await browser.newContext({ viewport });
			await context.addInitScript((pxPerMm) => {
				localStorage.setItem('stillmast/look@1', JSON.stringify({ theme: 'day', hand: 'right', pxPerMm }));
			}, pxPerMm);
			const page = await context.newPage();
			const faces: Face[] = [];
			const look = async (name: string) => {
				faces.push(await measure(page, name, pxPerMm));
				if (shots !== undefined) await page.screenshot({ path: `${shots}/${perInch}-${way}-${name}.png` });
			};
			const goTo = async (title: string) => {
				await page.getByRole('button', { name: 'Card', exact: true }).click();
				await page.getByRole('button', { name: title }).click();
				await expect(page.getByRole('heading', { name: title })).toBeVisible();
			};
			await joinCheck(page, board.link('pilot'), 'pilot');
			const begin = page.getByRole('button', { name: /^Begin flight/ });
			const mark = page.getByRole('button', { name: 'Mark' });
			await expect(begin.or(mark)).toBeVisible();
			if (await mark.isVisible()) {
				// a flight that the test before left open
				await goTo('After flight');
				await page.getByRole('button', { name: 'Card', exact: true }).click();
				await look('card');
				await page.getByRole('button', { name: 'Quiet' }).click();
				await look('quiet');
				await page.getByRole('button', { name: 'Back' }).click();
			} else {
				await look('between');
				await begin.click();
			}
			await goTo('Walk round');
			await look('ticks');
			await goTo('Ground, flat pitch');
			await look('three-numbers');
			await goTo('110 kt level');
			await look('numbers');
			await page.getByRole('button', { name: 'Write a number' }).click();
			await look('choose');
			await page.getByRole('button', { name: /^110 kt lateral/ }).click();
			await look('pad-empty');
			const pad = page.getByRole('region', { name: /^Number pad/ });
			for (const figure of '0.14') await pad.getByRole('button', { name: figure, exact: true }).click();
			await look('pad');
			await pad.getByRole('button', { name: /^Keep/ }).click();
			await look('phase');
			await page.getByRole('button', { name: 'No phase' }).click();
			const support = await (await browser.newContext()).newPage();
			await joinAs(support, board.link('support'), 'support');
			await say(support, 'Ask', 'Which blade has the red sleeve, and what was the hover reading? '.repeat(6));
			await expect.poll(async () => (await entryCount(page)) >= (await entryCount(support))).toBe(true);
			await page.getByRole('button', { name: 'Back' }).click();
			await page.getByRole('button', { name: 'Next' }).click();
			await expect(page.getByRole('heading', { name: 'S asks' })).toBeVisible();
			await look('message');
			await page.getByRole('button', { name: 'Read on' }).click();
			await look('message-part');
			await page.getByRole('button', { name: 'Seen' }).click();
			expectFaces(faces, 10);
			await support.context().close();
			await context.close();
		});

		test(`at ${perInch} CSS px an inch, ${way}: holds, consumers, called movements and long lists of ticks fit as well`, async ({
			browser,
		}) => {
			test.setTimeout(240_000);
			const pxPerMm = perInch / 25.4;
			const viewport = {
				width: Math.round(glass.widthMm * pxPerMm),
				height: Math.round(glass.heightMm * pxPerMm),
			};
			const context = await browser.newContext({ viewport });
			await context.addInitScript((pxPerMm) => {
				localStorage.setItem('stillmast/look@1', JSON.stringify({ theme: 'day', hand: 'right', pxPerMm }));
			}, pxPerMm);
			const page = await context.newPage();
			const faces: Face[] = [];
			const look = async (name: string) => {
				faces.push(await measure(page, name, pxPerMm));
				if (shots !== undefined) await page.screenshot({ path: `${shots}/${perInch}-${way}-${name}.png` });
			};
			await openWholeCheck(page, board.url, 'ZZ-GL');
			await open(page, 'Cockpit');
			await page.getByRole('button', { name: 'Begin flight 1' }).click();
			await look('four-ticks');
			await goToStep(page, 'Start');
			await look('ticks-and-numbers');
			await page.getByRole('button', { name: 'Card', exact: true }).click();
			await look('long-card');
			await page.getByRole('button', { name: 'Back' }).click();
			await goToStep(page, 'Power assurance');
			await look('hold-to-confirm');
			for (let left = 2; left > 0; left -= 1)
				await page
					.getByRole('button', { name: /^Confirm: / })
					.first()
					.click();
			await hold(page, 90);
			await look('hold-held');
			await page.getByRole('button', { name: 'Write a number' }).click();
			await look('hold-pad');
			await writeNumbers(page, ['80', '655', '90.5', '2000', '5']);
			await goToStep(page, 'Cabin heater');
			await hold(page, 30);
			await page.getByRole('button', { name: 'Write a number' }).click();
			await writeNumbers(page, ['655', '80']);
			await page.getByRole('button', { name: /^Steady: / }).click();
			await look('consumer-running');
			await goToStep(page, 'Lever up in 3 s');
			await look('movement');
			await page.getByRole('button', { name: 'Begin: three, two, one' }).click();
			await look('movement-count');
			await page.clock.runFor(5000);
			await look('movement-running');
			await page.getByRole('button', { name: 'End of the movement' }).click();
			await look('movement-flown');
			await page.getByRole('button', { name: 'Write what was seen' }).click();
			await look('movement-seen');
			await page.getByRole('button', { name: 'Back' }).click();
			await goToStep(page, 'Rotor speed in autorotation');
			await look('autorotation');
			await goToStep(page, 'Return');
			await look('words');
			expectFaces(faces, 14);
			await context.close();
		});
	}
}
