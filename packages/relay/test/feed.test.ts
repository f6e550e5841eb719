import type { FeedHead } from '@stillmast/formats/feed';
import { unpackTrace } from '@stillmast/formats/trace';
import { ChainWriter } from '@stillmast/record/writer';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openFeed } from '../src/feed/index.js';
import { enrol, type Person, person } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { RawClient } from './raw-client.js';

const head: FeedHead = {
	format: 'stillmast/feed@1',
	source: 'knee recorder',
	registration: 'ZZ-OUZ',
	channels: [
		{ id: 'torquePct', unit: '%' },
		{ id: 'nrPct', unit: '%' },
	],
};

/** Everything that a client sees of one feed: entries and the rows in their blobs. */
async function recorded(client: RawClient) {
	client.sync();
	await client.settled();
	const { readEntries } = await import('@stillmast/record/carrier');
	const entries = readEntries(client.doc).entries.filter(({ kind }) => kind === 'trace') as unknown as {
		rows: number;
		startS: number;
		feed: string;
		chunks: string[];
		faults?: { gaps: number; repeats: number; backward: number };
		by: string;
	}[];
	const hashes = entries.flatMap(({ chunks }) => chunks);
	client.send({ type: 'want', blobs: hashes });
	await client.until(
		({ received }) =>
			new Set(received.flatMap((one) => (one.type === 'blob' ? [one.hash] : []))).size === new Set(hashes).size,
		'blobs',
	);
	const bytes = new Map(
		client.received.flatMap((one) => (one.type === 'blob' ? [[one.hash, one.bytes] as const] : [])),
	);
	const timesS = entries
		.toSorted((a, b) => a.startS - b.startS)
		.flatMap(({ chunks }) => {
			const rows = unpackTrace(
				chunks.map((hash) => bytes.get(hash) ?? new Uint8Array(1)),
				2,
			);
			if (!rows.ok) throw new Error(rows.problem.code);
			return rows.value.timesS;
		});
	return { entries, timesS };
}

describe('a live feed at the host', () => {
	let hangar: Hangar;
	let crew: Crew;

	beforeEach(async () => {
		hangar = await openHangar();
		crew = await openCrew(hangar);
	});
	afterEach(() => hangar.close());

	const feedOf = (who: Person, first: FeedHead = head) =>
		openFeed({ url: hangar.url, record: crew.check.record, key: who.key }, first);

	it('[FEED-3] [FEED-4] [FEED-5] records every row in the host’s own entries and shows at most 25 moments a second', async () => {
		const viewer = await RawClient.enter(hangar.url, crew.check.record, crew.reviewer);
		const feed = await feedOf(crew.pilot);
		if (!feed.ok) throw new Error(feed.problem.code);
		for (let n = 0; n < 4_000; n++) {
			const sent = await feed.value.send({ timeS: n / 50, values: { torquePct: n % 100, nrPct: 100 } });
			expect(sent.ok).toBe(true);
		}
		const kept = await feed.value.finish();
		expect(kept).toMatchObject({ ok: true, value: { rows: 4_000, entries: 2, gaps: 0, repeats: 0, backward: 0 } });
		const seen = await recorded(viewer);
		expect(seen.entries.map(({ rows }) => rows).toSorted((a, b) => b - a)).toEqual([3_000, 1_000]);
		expect(seen.timesS).toEqual(Array.from({ length: 4_000 }, (_, n) => n / 50));
		expect(new Set(seen.entries.map(({ feed }) => feed))).toEqual(new Set(['knee recorder']));
		// 4,000 moments came within a few seconds
		const shown = viewer.received.filter(({ type }) => type === 'feed').length;
		expect(shown).toBeGreaterThan(0);
		expect(shown).toBeLessThan(400);
	});

	it('[FEED-1] a reader, and somebody who only supports, may watch but not feed', async () => {
		const support = await person('support');
		await enrol(crew.check, support, 'support');
		await hangar.relay.adopt(crew.check.record, crew.check.set.inOrder());
		for (const who of [crew.reviewer, support]) {
			const feed = await feedOf(who);
			const ended = feed.ok ? await feed.value.finish() : feed;
			expect(ended).toMatchObject({ ok: false, problem: { code: 'may-not-feed' } });
		}
		const viewer = await RawClient.enter(hangar.url, crew.check.record, crew.reviewer);
		const supporter = await RawClient.enter(hangar.url, crew.check.record, support);
		const moment = { type: 'feed', source: 'x', registration: 'ZZ-OUZ', timeS: 1, values: {}, states: {} } as const;
		supporter.send(moment);
		await supporter.settled();
		await viewer.settled();
		expect(viewer.received.filter(({ type }) => type === 'feed')).toEqual([]);
	});

	it('[FEED-2] a feed of another aircraft is refused', async () => {
		const feed = await feedOf(crew.pilot, { ...head, registration: 'ZZ-ABC' });
		const ended = feed.ok ? await feed.value.finish() : feed;
		expect(ended).toMatchObject({
			ok: false,
			problem: { code: 'other-registration', found: 'ZZ-ABC', needed: 'ZZ-OUZ', path: '$.registration' },
		});
	});

	it('[FEED-3] a source that stalls, jumps, repeats or goes back is recorded as it came, and its faults are counted', async () => {
		const viewer = await RawClient.enter(hangar.url, crew.check.record, crew.reviewer);
		const feed = await feedOf(crew.pilot);
		if (!feed.ok) throw new Error(feed.problem.code);
		const timesS = [0, 0.02, 0.04, 5, 5.02, 5.02, 4.9, 4.92, 4.94];
		for (const timeS of timesS) await feed.value.send({ timeS, values: { torquePct: 60 } });
		expect(await feed.value.finish()).toMatchObject({ ok: true, value: { rows: 9, gaps: 1, repeats: 1, backward: 1 } });
		const seen = await recorded(viewer);
		expect(seen.timesS).toEqual(timesS);
		expect(seen.entries[0]?.faults).toEqual({ gaps: 1, repeats: 1, backward: 1 });
	});

	it('[FEED-10] a connection that breaks has what came before it recorded', async () => {
		const viewer = await RawClient.enter(hangar.url, crew.check.record, crew.reviewer);
		const feed = await feedOf(crew.pilot);
		if (!feed.ok) throw new Error(feed.problem.code);
		for (let n = 0; n < 500; n++) await feed.value.send({ timeS: n / 50, values: { torquePct: 60 } });
		await viewer.until(
			({ received }) => received.some((one) => one.type === 'feed' && one.timeS > 9.9),
			'the last moment',
		);
		feed.value.close();
		await viewer.until(({ received }) => received.some(({ type }) => type === 'have'), 'the blob');
		await expect.poll(async () => (await recorded(viewer)).timesS.length).toBe(500);
	});

	it('[FEED-11] a line that cannot be read closes the feed with its number; what came before stays recorded', async () => {
		const viewer = await RawClient.enter(hangar.url, crew.check.record, crew.reviewer);
		const feed = await feedOf(crew.pilot);
		if (!feed.ok) throw new Error(feed.problem.code);
		await feed.value.send({ timeS: 0, values: { torquePct: 60 } });
		await feed.value.send({ timeS: '1' as unknown as number, values: {} });
		expect(await feed.value.finish()).toMatchObject({
			ok: false,
			problem: { code: 'wrong-type', path: '$.timeS', line: 3 },
		});
		expect((await recorded(viewer)).timesS).toEqual([0]);
	});

	it('[FEED-1] a key that is revoked loses its feed', async () => {
		const feed = await feedOf(crew.pilot);
		if (!feed.ok) throw new Error(feed.problem.code);
		await feed.value.send({ timeS: 0, values: { torquePct: 60 } });
		const engineer = new ChainWriter(crew.check.set, crew.engineer.options);
		await engineer.write('revoked', {
			key: crew.pilot.key.fingerprint,
			heads: [],
			reason: 'the wrong tablet',
		});
		await hangar.relay.adopt(crew.check.record, crew.check.set.inOrder());
		await expect.poll(async () => (await feed.value.send({ timeS: 1, values: {} })).ok, { interval: 20 }).toBe(false);
	});
});
