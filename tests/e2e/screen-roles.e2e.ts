import { expect, type Page, test } from '@playwright/test';
import type { Kind, Role } from '@stillmast/formats/entry';
import { mayWrite } from '@stillmast/record';
import { allStored, join, joinAs, open, say, writeNumber } from './crew.js';
import { ServedBoard } from './served-board.js';

/**
 * Every role before every page of one check: what the screen offers is what the table of roles allows, and nothing
 * else. The raw socket's half of the matrix is in the relay's tests. Kinds that this check has no occasion for (a hold,
 * a called movement, an inspection, a decision, an attempt) go through the same question, `LiveCheck.may`.
 */

const board = new ServedBoard();
test.beforeAll(() => board.start());
test.afterAll(() => board.dispose());

/** Where a kind of entry is written, and the key that writes it. */
interface Place {
	readonly kinds: readonly Kind[];
	readonly key: RegExp;
}

/** A page or a tab of one, what shows that it is there for everybody, and what it may offer. */
const pages: readonly {
	readonly path: string;
	readonly tab?: string;
	readonly settled: RegExp;
	readonly places: readonly Place[];
}[] = [
	{
		path: 'cockpit',
		settled: /^Card$/,
		places: [
			{ kinds: ['step'], key: /^Next$/ },
			{ kinds: ['mark'], key: /^Mark$/ },
			{ kinds: ['vibration', 'reading'], key: /^Write a number$/ },
		],
	},
	{
		path: 'workshop',
		settled: /^Try my own$/,
		places: [
			{ kinds: ['use'], key: /^Use this proposal$/ },
			{ kinds: ['proposal'], key: /^(Propose this|Use this proposal)$/ },
		],
	},
	{
		path: 'workshop',
		tab: 'Limits passed',
		settled: /^Limits passed/,
		places: [{ kinds: ['witness'], key: /^Write one down$/ }],
	},
	{
		path: 'workshop',
		tab: 'To agree',
		settled: /^To agree 1$/,
		places: [{ kinds: ['agree'], key: /^This one holds/ }],
	},
	{
		path: 'workshop',
		tab: 'Sign',
		settled: /^Sign$/,
		places: [
			{ kinds: ['signature'], key: /^Sign as/ },
			{ kinds: ['narrative'], key: /^Keep these words/ },
		],
	},
	{
		path: 'review',
		settled: /^Check signatures$/,
		places: [
			{ kinds: ['strike'], key: /^Strike out/ },
			{ kinds: ['remark'], key: /^Remark$/ },
			{ kinds: ['reply'], key: /^Seen$/ },
		],
	},
	{
		path: 'pass-on',
		settled: /./,
		places: [
			{ kinds: ['handover'], key: /^Pass the check on$/ },
			{ kinds: ['stopped', 'flight', 'run'], key: /^Stop this flight early$/ },
			{ kinds: ['revoked'], key: /^Lock out/ },
		],
	},
	{ path: 'prepare', settled: /./, places: [{ kinds: ['header'], key: /^Write down: / }] },
];

/** The check shared by all roles: a flight is open, two readings differ, a question waits. */
async function setTheScene(pilot: Page, support: Page): Promise<void> {
	await join(pilot, board.link('pilot'), 'pilot');
	await pilot.getByRole('button', { name: 'Begin flight 2' }).click();
	// the step that every page then opens at asks for numbers
	await pilot.getByRole('button', { name: 'Next' }).click();
	await expect(pilot.getByRole('heading', { name: 'Ground, flat pitch' })).toBeVisible();
	for (const number of ['81.5', '84.5']) {
		await pilot.getByRole('button', { name: 'Card', exact: true }).click();
		await pilot.getByRole('button', { name: '110 kt level' }).click();
		await pilot.getByRole('button', { name: 'Write a number' }).click();
		await pilot.getByRole('button', { name: /^torque/ }).click();
		await writeNumber(pilot, number);
	}
	await allStored(pilot);
	await joinAs(support, board.link('support'), 'support');
	await open(support, 'Review');
	await say(support, 'Ask', 'Is that the same gauge?');
	await allStored(support);
}

async function kindsOffered(page: Page, record: string): Promise<Kind[]> {
	const offered: Kind[] = [];
	for (const { path, tab, settled, places } of pages) {
		await page.goto(`${board.url}/check/${record}/${path}`);
		await expect(page.locator('[data-link="open"]')).toBeVisible();
		if (tab !== undefined) await page.getByRole('button', { name: new RegExp(`^${tab}( \\d+)?$`) }).click();
		if (path === 'review') {
			await expect(page.locator('[data-open-questions="1"]')).toBeVisible();
			await page.getByText(/^Remarks and questions/).click();
		}
		await expect(page.getByRole('button', { name: settled }).or(page.getByRole('main')).first()).toBeVisible();
		await expect(page.getByText('Computing', { exact: true })).toHaveCount(0);
		for (const { kinds, key } of places) {
			if ((await page.getByRole('button', { name: key }).count()) > 0) offered.push(...kinds);
		}
	}
	return offered.sort();
}

test('each role is offered on each page exactly what the table of roles allows', async ({ browser }) => {
	test.setTimeout(240_000);
	const pilot = await (await browser.newContext()).newPage();
	const support = await (await browser.newContext()).newPage();
	await setTheScene(pilot, support);
	const asked = pages.flatMap(({ places }) => places.flatMap(({ kinds }) => kinds));
	for (const role of ['pilot', 'engineer', 'support', 'instructor', 'reviewer'] satisfies Role[]) {
		const page = await (await browser.newContext({ viewport: { width: 1366, height: 900 } })).newPage();
		await joinAs(page, board.link(role), role);
		const facts = { purpose: 'demo', creator: false, own: false, reasoned: true } as const;
		const allowed = asked.filter((kind) => mayWrite(role, kind, facts)).sort();
		expect(await kindsOffered(page, board.record), role).toEqual(allowed);
		await page.context().close();
	}
	await pilot.context().close();
	await support.context().close();
});
