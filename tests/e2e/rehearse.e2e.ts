import { expect, test } from '@playwright/test';
import { judgesTimes } from './judged-times.js';
import { ServedBoard } from './served-board.js';

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

test('a trainee flies one ramp by keyboard and reads the verdict at once, in a frame that says rehearsal', async ({
	page,
}) => {
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(String(error)));
	await page.goto(`${board.url}/rehearse`);
	await expect(page.getByText('nothing here was flown')).toBeVisible();
	await expect(page.getByText('Inside here is not readiness for the aircraft.')).toBeVisible();

	await page.getByRole('button', { name: 'Begin' }).click();
	const lever = page.getByRole('slider', { name: 'Lever' });
	await expect(lever).toBeFocused();
	await expect(lever).toHaveAttribute('aria-valuenow', '20');
	await expect(page.getByText('one', { exact: true })).toBeVisible();
	await expect(page.getByText('go', { exact: true })).toBeVisible();
	await page.keyboard.down('ArrowUp');
	await expect.poll(async () => Number(await lever.getAttribute('aria-valuenow'))).toBeGreaterThan(75);
	await page.keyboard.up('ArrowUp');

	await expect(page.getByRole('heading', { name: 'Attempt 1' })).toBeVisible({ timeout: 20_000 });
	const verdict = page.getByRole('list', { name: 'What this attempt showed' });
	await expect(verdict.getByText('peak torque')).toBeVisible();
	await expect(verdict.getByText(/^(inside|outside)$/).first()).toBeVisible();
	await expect(page.getByRole('img', { name: /Ramp bed, torque/ })).toBeVisible();
	await expect(page.getByRole('button', { name: 'Again' })).toBeEnabled();
	expect(errors).toEqual([]);
});

test('the page tells how many frames pass from a finger on the lever to its drawn gauge', async ({ page }) => {
	await page.goto(`${board.url}/rehearse`);
	await page.getByRole('button', { name: 'Begin' }).click();
	await expect(page.getByText('go', { exact: true })).toBeVisible();
	const lever = page.getByRole('slider', { name: 'Lever' });
	const box = await lever.boundingBox();
	if (box === null) throw new Error('no lever');
	const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
	await page.mouse.move(x, y);
	await page.mouse.down();
	for (let n = 1; n <= 150; n++) await page.mouse.move(x, y - 60 * Math.sin(n / 24));
	await page.mouse.up();
	const said = page.locator('[data-lever-lag-frames]');
	await expect(said).toBeVisible();
	const frames = Number(await said.getAttribute('data-lever-lag-frames'));
	console.log(`lever to drawn gauge: 95 in 100 within ${frames} frames; ${(await said.textContent())?.trim()}`);
	expect(frames).toBeGreaterThan(0);
	if (judgesTimes) expect(frames).toBeLessThanOrEqual(2);
});

interface Bench {
	/** The stick's axis, which counts downwards. */
	axis: number;
	knocks: number;
}

test('[LSN-10] a gamepad axis moves the lever, and what is called is knocked: once to try, three and go, twice at the end', async ({
	page,
}) => {
	await page.addInitScript(() => {
		const bench: Bench = { axis: 0, knocks: 0 };
		Object.assign(globalThis, { bench });
		Object.defineProperty(navigator, 'getGamepads', { value: () => [null, { axes: [0, bench.axis] }] });
		const start = AudioBufferSourceNode.prototype.start;
		AudioBufferSourceNode.prototype.start = function (this: AudioBufferSourceNode, ...at) {
			bench.knocks += 1;
			start.apply(this, at);
		};
	});
	const bench = () => page.evaluate(() => (globalThis as unknown as { bench: Bench }).bench);
	const push = (axis: number) =>
		page.evaluate((to) => {
			(globalThis as unknown as { bench: Bench }).bench.axis = to;
		}, axis);
	await page.goto(`${board.url}/rehearse`);
	await page.getByRole('button', { name: 'Knocks' }).click();
	expect((await bench()).knocks).toBe(1);
	await page.getByRole('button', { name: 'Begin' }).click();
	const lever = page.getByRole('slider', { name: 'Lever' });
	await expect(page.getByText('go', { exact: true })).toBeVisible();
	// one to try, the count of three, and go
	expect((await bench()).knocks).toBe(5);
	// a stick at rest is seldom at 0, and moves nothing
	await push(-0.1);
	await expect(lever).toHaveAttribute('aria-valuenow', '20');
	await push(-0.5);
	await expect.poll(async () => Number(await lever.getAttribute('aria-valuenow'))).toBeGreaterThan(40);
	await push(0.5);
	await expect.poll(async () => Number(await lever.getAttribute('aria-valuenow'))).toBeLessThan(30);
	await push(0);
	await expect(page.getByRole('heading', { name: 'Attempt 1' })).toBeVisible({ timeout: 30_000 });
	// torque stayed far from its limit: nothing but the end was knocked, twice
	expect((await bench()).knocks).toBe(7);
});
