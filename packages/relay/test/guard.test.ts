import type { Entry, JsonValue } from '@stillmast/formats/entry';
import { createCarrier, ENTRIES_ROOT, updateOf } from '@stillmast/record/carrier';
import { hashEntry } from '@stillmast/record/hash';
import { entryText } from '@stillmast/record/pen';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { person, remark, writerOf } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { RawClient } from './raw-client.js';

describe('the guard over a raw socket', () => {
	let hangar: Hangar;
	let crew: Crew;
	let kept: Entry;
	let watcher: RawClient;
	let writer: RawClient;

	beforeEach(async () => {
		hangar = await openHangar();
		crew = await openCrew(hangar);
		watcher = await RawClient.enter(hangar.url, crew.check.record, crew.engineer);
		writer = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
		kept = await remark(writerOf(crew.check, crew.pilot), 'oil pressure steady');
		writer.sendEntries(kept);
		await writer.untilStored(kept);
		watcher.sync();
		await watcher.until((client) => client.hashes().size === crew.check.set.size, 'the whole record');
	});
	afterEach(() => hangar.close());

	/** The update closes its sender with 4422; what everybody else and a fresh reader see stays the same. */
	async function expectRefused(update: Uint8Array): Promise<void> {
		const before = [...watcher.hashes()].sort();
		writer.send({ type: 'sync-update', update });
		await writer.untilClosed();
		expect(writer.closed?.code).toBe(4422);
		await watcher.settled();
		expect([...watcher.hashes()].sort()).toEqual(before);
		await hangar.restart();
		const fresh = await RawClient.enter(hangar.url, crew.check.record, crew.engineer);
		fresh.sync();
		await fresh.untilShows(kept);
		expect(fresh.hashes().size).toBe(crew.check.set.size);
	}

	function entry(change: Readonly<Record<string, JsonValue>>): Entry {
		const changed: Entry = { ...kept, ...change };
		return { ...changed, hash: hashEntry(changed) };
	}

	it('[RLY-20] refuses an entry that another key signed in somebody’s name', async () => {
		const forger = await person('forger');
		const { pen: _pen, ...next } = entry({ seq: kept.seq + 1, prev: kept.hash, n: kept.n + 1, seen: [] });
		const hash = hashEntry(next);
		await expectRefused(updateOf([{ ...next, hash, sig: await forger.key.sign(entryText(hash)) }]));
	});

	it('[RLY-20] refuses an entry whose text was altered under its old signature', async () => {
		await expectRefused(updateOf([entry({ text: 'oil pressure falling' })]));
	});

	it('[RLY-20] refuses an altered entry under the hash of the true one', async () => {
		await expectRefused(updateOf([{ ...kept, text: 'oil pressure falling' }]));
	});

	it('[RLY-20] refuses the deletion of an entry', async () => {
		const doc = createCarrier();
		Y.applyUpdate(doc, Y.encodeStateAsUpdate(watcher.doc));
		const before = Y.encodeStateVector(doc);
		doc.getMap(ENTRIES_ROOT).delete(kept.hash);
		await expectRefused(Y.encodeStateAsUpdate(doc, before));
	});

	it('[RLY-20] refuses overwriting an entry, be it with itself', async () => {
		const doc = createCarrier();
		Y.applyUpdate(doc, Y.encodeStateAsUpdate(watcher.doc));
		const before = Y.encodeStateVector(doc);
		doc.getMap(ENTRIES_ROOT).set(kept.hash, kept);
		await expectRefused(Y.encodeStateAsUpdate(doc, before));
	});

	it('[RLY-20] refuses anything beside the one map of entries', async () => {
		const doc = new Y.Doc();
		doc.getText('notes').insert(0, 'hello');
		await expectRefused(Y.encodeStateAsUpdate(doc));
	});

	it('[RLY-20] refuses an entry of another record', async () => {
		const other = await openCrew(hangar, 'other');
		await expectRefused(updateOf([await remark(other.check.writer, 'wrong aircraft')]));
	});

	it('[RLY-20] refuses one forged entry among good ones, and none of them is taken', async () => {
		const good = await remark(crew.check.writer, 'good');
		writer.send({ type: 'sync-update', update: updateOf([good, entry({ text: 'bad' })]) });
		await writer.untilClosed();
		expect(writer.closed?.code).toBe(4422);
		expect((await readBack()).has(good.hash)).toBe(false);
		await watcher.settled();
		expect(watcher.hashes().has(good.hash)).toBe(false);
	});

	async function readBack() {
		const fresh = await RawClient.enter(hangar.url, crew.check.record, crew.engineer);
		fresh.sync();
		await fresh.untilShows(kept);
		return fresh.hashes();
	}

	it('[RLY-21] keeps and passes on an entry of a key that is not enrolled', async () => {
		const stranger = await person('stranger');
		const foreign = await remark(writerOf(crew.check, stranger), 'from a tablet that was never enrolled');
		writer.sendEntries(foreign);
		await watcher.untilShows(foreign);
		await writer.untilStored(foreign);
		expect((await readBack()).has(foreign.hash)).toBe(true);
		expect(writer.closed).toBeNull();
	});

	it('[RLY-22] drops a reviewer’s updates by their first bytes and counts them', async () => {
		const reader = await RawClient.enter(hangar.url, crew.check.record, crew.reviewer);
		const attempt = await remark(writerOf(crew.check, crew.reviewer), 'only looking');
		for (let count = 0; count < 1_000; count++) reader.sendEntries(attempt);
		reader.send({ type: 'sync-step-2', update: updateOf([attempt]) });
		await reader.settled();
		expect(reader.closed).toBeNull();
		expect((await readBack()).has(attempt.hash)).toBe(false);
		await reader.leave();
		await watcher.settled();
		expect(hangar.log).toContainEqual(expect.objectContaining({ event: 'left', droppedFromReader: 1_001 }));
	});

	it('[RLY-22] drops a reviewer’s updates that come in fragments', async () => {
		const reader = await RawClient.enter(hangar.url, crew.check.record, crew.reviewer);
		const pen = writerOf(crew.check, crew.reviewer);
		const attempts = [];
		for (let count = 0; count < 100; count++) attempts.push(await remark(pen, 'x'.repeat(1_000)));
		reader.sendEntries(...attempts);
		await reader.settled();
		expect(reader.closed).toBeNull();
		expect((await readBack()).has(attempts[0]?.hash ?? '')).toBe(false);
	});
});
