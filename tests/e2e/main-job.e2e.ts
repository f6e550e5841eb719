import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, test } from '@playwright/test';
import {
	allOnDevice,
	allStored,
	entryCount,
	flyCard,
	join as joinCheck,
	open,
	sign,
	useProposal,
	writeNumber,
} from './crew.js';
import { KillableBrowser } from './killable-browser.js';
import { ServedBoard } from './served-board.js';

const tablet = { width: 834, height: 1112 };
const laptop = { width: 1366, height: 860 };
const stillmast = join(import.meta.dirname, '..', '..', 'apps', 'cli', 'bin', 'stillmast.mjs');

test('two people do the main job: fly, change, fly offline, agree, sign; kills and reloads in between lose nothing', async ({
	browser,
	launchOptions,
}, info) => {
	test.setTimeout(240_000);
	const board = new ServedBoard();
	const pilots = new KillableBrowser(launchOptions, tablet);
	await board.start();
	try {
		let pilot = await pilots.start();
		const engineers = await browser.newContext({ viewport: laptop, acceptDownloads: true });
		const engineer = await engineers.newPage();
		await joinCheck(pilot, board.link('pilot'), 'pilot');
		await joinCheck(engineer, board.link('engineer'), 'engineer');

		// run 1 on the cockpit tablet; the engineer's laptop follows while writing goes on
		await flyCard(pilot, 2, {});
		await allStored(pilot);
		const address = pilot.url();
		await expect(engineer.locator('[data-entries]')).toHaveAttribute('data-entries', String(await entryCount(pilot)));

		// the tablet's browser dies and the host dies: both come back with everything
		const before = await entryCount(pilot);
		await pilots.kill();
		await board.kill();
		await board.start();
		pilot = await pilots.start();
		await pilot.goto(address);
		await expect(pilot.locator('[data-entries]')).toHaveAttribute('data-entries', String(before));
		await allStored(pilot);

		// the proposal becomes the change on the aircraft
		await open(engineer, 'Workshop');
		const settings = await useProposal(engineer);
		await allStored(engineer);
		await expect(pilot.locator('[data-entries]')).toHaveAttribute('data-entries', String(await entryCount(engineer)));

		// run 2 while the engineer is away; the engineer writes one of the same readings differently
		await engineers.setOffline(true);
		await flyCard(pilot, 3, settings);
		await allStored(pilot);
		await pilot.reload();
		await expect(pilot.getByRole('heading', { name: 'Rotor stopped' })).toBeVisible();
		await engineers.setOffline(false);
		await allStored(engineer);
		await expect(engineer.locator('[data-entries]')).toHaveAttribute('data-entries', String(await entryCount(pilot)));
		await expect(engineer.getByText('outside', { exact: true })).toHaveCount(0);
		await expect(engineer.getByText('measure again')).toHaveCount(0);

		// a second tab of the engineer writes as well: its chain is its own
		const secondTab = await engineers.newPage();
		await secondTab.goto(`${board.url}/check/${board.record}/cockpit`);
		await secondTab.getByRole('button', { name: 'Begin flight 4' }).click();
		await allOnDevice(secondTab);
		await expect(engineer.getByText('flight 4, run 1')).toBeVisible();
		await secondTab.close();
		await expect(pilot.getByRole('heading', { name: 'Walk round' })).toBeVisible();

		// both are away and write the same reading differently
		await engineers.setOffline(true);
		await pilot.context().setOffline(true);
		await writeHoverLateral(engineer, '0.13');
		await writeHoverLateral(pilot, '0.10');
		await engineers.setOffline(false);
		await pilot.context().setOffline(false);
		await allStored(pilot);
		await allStored(engineer);
		await open(engineer, 'Workshop');
		await expect(engineer.getByText('two readings')).toBeVisible();
		await engineer.getByRole('button', { name: 'To agree 1' }).click();
		await engineer.getByRole('button', { name: 'This one holds: 0.13 ips 200\u00b0' }).click();
		await expect(engineer.getByText('Nothing differs.')).toBeVisible();

		await allStored(engineer);
		await expect(pilot.locator('[data-entries]')).toHaveAttribute('data-entries', String(await entryCount(engineer)));
		await sign(engineer, 'engineer');
		await allStored(engineer);
		await expect(pilot.locator('[data-entries]')).toHaveAttribute('data-entries', String(await entryCount(engineer)));
		await sign(pilot, 'pilot');
		await allStored(pilot);
		await open(engineer, 'Review');
		await expect(engineer.locator('[data-signing="signed"]')).toBeVisible();

		await engineer.getByRole('button', { name: 'Check signatures' }).click();
		await expect(engineer.locator('[data-file="whole"]')).toBeVisible();
		const download = engineer.waitForEvent('download');
		await engineer.getByRole('button', { name: 'Record file' }).click();
		const file = info.outputPath('main-job.check.json');
		await (await download).saveAs(file);
		const verified = spawnSync(process.execPath, [stillmast, 'verify', file], { encoding: 'utf8' });
		expect(verified.stdout + verified.stderr).toContain('WHOLE and SIGNED');
		expect(verified.status).toBe(0);

		// what comes after the signature is shown as such
		await open(pilot, 'Cockpit');
		await pilot.getByRole('button', { name: 'Mark' }).click();
		await expect(engineer.locator('[data-signing="added-after-signing"]')).toBeVisible();
	} finally {
		await pilots.dispose();
		await board.dispose();
	}
});

async function writeHoverLateral(page: import('@playwright/test').Page, amplitude: string): Promise<void> {
	await open(page, 'Cockpit');
	await page.getByRole('button', { name: 'Card', exact: true }).click();
	await page.getByRole('button', { name: /^Hover/ }).click();
	await page.getByRole('button', { name: 'Write a number' }).click();
	await page
		.getByRole('main')
		.getByRole('button', { name: /^hover lateral/ })
		.click();
	await writeNumber(page, amplitude, 'amplitude');
	await writeNumber(page, '200', 'phase');
	await allOnDevice(page);
}
