import { createHash } from 'node:crypto';
import type { Entry } from '@stillmast/formats/entry';
import { readEntries, updateOf } from '@stillmast/record/carrier';
import { type Feed, offeredProtocols, type WireMessage } from '@stillmast/record/wire';
import * as encoding from 'lib0/encoding';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { enrol, person, remark, writerOf } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { askTicket, RawClient } from './raw-client.js';

describe('frames between a device and the host', () => {
	let hangar: Hangar;
	let crew: Crew;

	beforeEach(async () => {
		hangar = await openHangar();
		crew = await openCrew(hangar);
	});
	afterEach(() => hangar.close());

	const enter = (who = crew.pilot) => RawClient.enter(hangar.url, crew.check.record, who);

	describe('sizes', () => {
		it('[RLY-16] a frame over 64 KiB closes with 4413', async () => {
			const client = await enter();
			client.sendFrame(new Uint8Array(65_537));
			await client.untilClosed();
			expect(client.closed?.code).toBe(4413);
		});

		it('[RLY-16] a message over 16 MiB in fragments closes with 4413', async () => {
			const client = await enter();
			const part = new Uint8Array(65_000);
			for (let index = 0; index < 10; index++) client.send({ type: 'fragment', id: 1, index, count: 300, bytes: part });
			await client.untilClosed();
			expect(client.closed?.code).toBe(4413);
		});

		it('[RLY-16] fragments out of order close with 4422', async () => {
			const client = await enter();
			client.send({ type: 'fragment', id: 1, index: 1, count: 2, bytes: new Uint8Array(5) });
			await client.untilClosed();
			expect(client.closed?.code).toBe(4422);
		});

		it('[RLY-16] a record of 2 000 entries comes in and goes out by fragments', async () => {
			const writer = writerOf(crew.check, crew.pilot);
			const entries: Entry[] = [];
			for (let count = 0; count < 2_000; count++)
				entries.push(await remark(writer, `offline ${count} ${'.'.repeat(80)}`));
			const client = await enter();
			client.sendEntries(...entries);
			await client.untilStored(entries.at(-1) as Entry);
			const reader = await enter(crew.engineer);
			reader.sync();
			await reader.until((one) => one.received.some((message) => message.type === 'sync-step-2'), 'the whole record');
			expect(reader.hashes().size).toBe(crew.check.set.size);
		});

		it('passes over kinds of message that it does not know', async () => {
			const client = await enter();
			client.sendFrame(new Uint8Array([120, 1, 2, 3]));
			await client.settled();
			expect(client.closed).toBeNull();
		});

		it('closes with 4422 on a text frame', async () => {
			const client = await enter();
			client.socket.send('hello');
			await client.untilClosed();
			expect(client.closed?.code).toBe(4422);
		});
	});

	describe('drafts', () => {
		const QUESTION = Uint8Array.from([0, 0]);
		const typed = (text: string) => ({ type: 'draft', subject: 'summary', update: Buffer.from(text) }) as const;
		const heard = (client: RawClient) =>
			client.received.flatMap((message) =>
				message.type === 'draft' ? [Buffer.from(message.update).toString('latin1')] : [],
			);

		it('[RLY-27] reach the others of the record and not their sender, and are kept nowhere', async () => {
			const [pilot, engineer, reviewer] = [await enter(), await enter(crew.engineer), await enter(crew.reviewer)];
			pilot.send(typed('rough at 60 knots'));
			for (const client of [engineer, reviewer]) await client.until((one) => heard(one).length > 0, 'the draft');
			await pilot.settled();
			expect([heard(pilot), heard(engineer), heard(reviewer)]).toEqual([
				[],
				['rough at 60 knots'],
				['rough at 60 knots'],
			]);
			for (const client of [pilot, engineer, reviewer]) await client.leave();
			await hangar.restart();
			const later = await enter(crew.engineer);
			later.sync();
			await later.until((one) => one.hashes().size === crew.check.set.size, 'the record');
			await later.settled();
			expect(heard(later)).toEqual([]);
		});

		it('[RLY-27] of a role that writes no narrative go nowhere; its question what the others have does', async () => {
			const guest = await person('ground support');
			const enrolment = await enrol(crew.check, guest, 'support');
			const [pilot, reviewer] = [await enter(), await enter(crew.reviewer)];
			const engineer = await enter(crew.engineer);
			engineer.sendEntries(enrolment);
			await engineer.untilStored(enrolment);
			const support = await enter(guest);
			for (const client of [reviewer, support]) {
				client.send(typed('not mine to write'));
				client.send({ type: 'draft', subject: 'summary', update: QUESTION });
				await client.settled();
			}
			await pilot.until((one) => heard(one).length >= 2, 'two questions');
			expect(heard(pilot)).toEqual(['\0\0', '\0\0']);
		});

		it('[RLY-27] questions without end make nobody answer without end', async () => {
			const [pilot, reviewer] = [await enter(), await enter(crew.reviewer)];
			for (let n = 0; n < 200; n++) reviewer.send({ type: 'draft', subject: 'summary', update: QUESTION });
			await reviewer.settled();
			await pilot.settled();
			expect(heard(pilot).length).toBeGreaterThan(0);
			expect(heard(pilot).length).toBeLessThan(40);
		});
	});

	describe('presence', () => {
		const presence = (...states: readonly [client: number, clock: number, state: unknown][]): WireMessage => {
			const out = encoding.createEncoder();
			encoding.writeVarUint(out, states.length);
			for (const [client, clock, state] of states) {
				encoding.writeVarUint(out, client);
				encoding.writeVarUint(out, clock);
				encoding.writeVarString(out, JSON.stringify(state));
			}
			return { type: 'awareness', update: encoding.toUint8Array(out) };
		};
		const heard = (client: RawClient) =>
			client.received.flatMap((message) =>
				message.type === 'awareness' ? [Buffer.from(message.update).toString('latin1')] : [],
			);

		it('[RLY-15] reaches everybody, the sender included, and says so when somebody leaves', async () => {
			const a = await enter();
			const b = await enter(crew.engineer);
			a.send(presence([7, 1, { at: 'step 3' }]));
			await a.until((one) => heard(one).some((text) => text.includes('step 3')), 'its own echo');
			await b.until((one) => heard(one).some((text) => text.includes('step 3')), 'the presence');
			await a.leave();
			await b.until((one) => heard(one).some((text) => text.includes('null')), 'the leaving');
			const c = await enter(crew.engineer);
			c.send({ type: 'query-awareness' });
			await c.settled();
			expect(heard(c)).toEqual([]);
		});

		it('[RLY-15] what a connection says of other ids is passed over', async () => {
			const a = await enter();
			const b = await enter(crew.engineer);
			a.send(presence([7, 1, { who: 'a' }]));
			b.send(presence([8, 1, { who: 'b' }]));
			await a.until((one) => heard(one).length >= 2, 'both');
			b.send(presence([7, 9, { who: 'not a' }], [9, 1, { who: 'nobody' }]));
			b.send(presence([8, 2, { who: 'b again' }]));
			await a.until((one) => heard(one).some((text) => text.includes('b again')), 'b again');
			expect(heard(a).join()).not.toContain('not a');
			expect(heard(a).join()).not.toContain('nobody');
		});

		it('[RLY-15] of many people comes one by one, so that all of it together is too big for nobody', async () => {
			const large = (client: number) => presence([client, 1, { at: `person ${client}`, more: 'x'.repeat(3_900) }]);
			const people = [await enter(), await enter(crew.engineer), await enter(crew.reviewer)];
			for (const [index, one] of people.entries()) {
				one.send(large(index + 1));
				await one.settled();
			}
			// The reader of this test throws on whatever a device would not take.
			const late = await enter(crew.engineer);
			late.send({ type: 'query-awareness' });
			await late.settled();
			for (const n of [1, 2, 3]) expect(heard(late).some((text) => text.includes(`person ${n}`))).toBe(true);
		});

		it('[RLY-15] over 4 KiB closes with 4413; a state that is no JSON is passed over', async () => {
			const a = await enter();
			a.send({ type: 'awareness', update: new Uint8Array([1, 7, 1, 3, 123, 123, 123]) });
			await a.settled();
			expect(heard(a)).toEqual([]);
			a.send(presence([7, 1, { text: 'x'.repeat(5_000) }]));
			await a.untilClosed();
			expect(a.closed?.code).toBe(4413);
		});

		it('[RLY-15] a device that comes back takes its id along before its old socket is known to be gone', async () => {
			const old = await enter();
			const watcher = await enter(crew.engineer);
			old.send(presence([7, 1, { tab: 'old' }]));
			await watcher.until((one) => heard(one).some((text) => text.includes('old')), 'the old one');
			const back = await enter();
			back.send(presence([7, 2, { tab: 'back' }]));
			await watcher.until((one) => heard(one).some((text) => text.includes('back')), 'the new one');
			const before = heard(watcher).length;
			await old.leave();
			await watcher.settled();
			expect(heard(watcher).length).toBe(before);
		});
	});

	describe('blobs', () => {
		const bytes = new TextEncoder().encode('a card');
		const hash = createHash('sha256').update(bytes).digest('base64url');

		it('[RLY-18] are asked for, kept, told to the others and given out', async () => {
			const a = await enter();
			const b = await enter(crew.engineer);
			a.send({ type: 'have', blobs: [hash] });
			await a.until((one) => one.received.some((m) => m.type === 'want' && m.blobs.includes(hash)), 'want');
			a.send({ type: 'blob', hash, bytes });
			await b.until((one) => one.received.some((m) => m.type === 'have' && m.blobs.includes(hash)), 'have');
			b.send({ type: 'want', blobs: [hash] });
			await b.until((one) => one.received.some((m) => m.type === 'blob' && Buffer.from(m.bytes).equals(bytes)), 'blob');
			const late = await enter(crew.reviewer);
			await late.until(
				(one) => one.received.some((m) => m.type === 'have' && m.blobs.includes(hash)),
				'have on entering',
			);
		});

		it('[RLY-18] under another hash close with 4422', async () => {
			const a = await enter();
			a.send({ type: 'blob', hash, bytes: new Uint8Array(3) });
			await a.untilClosed();
			expect(a.closed?.code).toBe(4422);
		});

		it('[RLY-18] of a reader are not kept', async () => {
			const reader = await enter(crew.reviewer);
			reader.send({ type: 'blob', hash, bytes });
			await reader.settled();
			const b = await enter(crew.engineer);
			b.send({ type: 'have', blobs: [hash] });
			await b.until((one) => one.received.some((m) => m.type === 'want'), 'want');
		});
	});

	describe('live gauges', () => {
		const feed = (timeS: number, registration = 'ZZ-OUZ'): Feed => ({
			type: 'feed',
			source: 'gauges',
			registration,
			timeS,
			values: { torquePct: timeS },
			states: {},
		});
		const times = (client: RawClient) => client.received.flatMap((m) => (m.type === 'feed' ? [m.timeS] : []));

		it('[RLY-19] go on at most 25 times a second, the newest last', async () => {
			const a = await enter();
			const b = await enter(crew.engineer);
			await b.settled();
			const startedMs = performance.now();
			for (let count = 1; count <= 500; count++) a.send(feed(count));
			await b.until((one) => times(one).at(-1) === 500, 'the newest');
			const most = Math.ceil((performance.now() - startedMs) / 40) + 1;
			expect(times(b).length).toBeLessThanOrEqual(most);
			expect([...times(b)].sort((x, y) => x - y)).toEqual(times(b));
		});

		it('[RLY-19] of another aircraft go to nobody', async () => {
			const a = await enter();
			const b = await enter(crew.engineer);
			a.send(feed(1, 'ZZ-DUN'));
			await a.settled();
			await b.settled();
			expect(times(b)).toEqual([]);
		});
	});

	it('answers hello with the role that the key has in this record', async () => {
		const reader = await enter(crew.reviewer);
		reader.send({ type: 'hello', wire: 1, entryRange: [1, 1], build: 'test', role: 'pilot' });
		await reader.until((one) => one.received.some((m) => m.type === 'hello' && m.role === 'reviewer'), 'hello');
	});

	describe('a stock y-websocket client', () => {
		async function stockClient(who = crew.pilot) {
			const ticket = String((await askTicket(hangar.url, crew.check.record, who)).body.ticket);
			const doc = new Y.Doc({ gc: false });
			// The stock client sets no origin by itself outside a browser.
			class FromOurPage extends WebSocket {
				constructor(address: string, protocols: string[]) {
					super(address, protocols, { origin: hangar.url });
				}
			}
			const provider = new WebsocketProvider(`${hangar.url.replace('http', 'ws')}/sync`, crew.check.record, doc, {
				WebSocketPolyfill: FromOurPage as unknown as typeof globalThis.WebSocket,
				protocols: offeredProtocols(ticket),
				disableBc: true,
			});
			const closes: number[] = [];
			provider.on('connection-close', (event: { code: number } | null) => closes.push(event?.code ?? 0));
			await new Promise<void>((resolve) => provider.once('sync', () => resolve()));
			return { doc, provider, closes };
		}

		it('[RLY-17] reads the record, and what it adds is kept and seen', async () => {
			const watcher = await enter(crew.engineer);
			const { doc, provider, closes } = await stockClient();
			expect(readEntries(doc).entries).toHaveLength(crew.check.set.size);
			const entry = await remark(writerOf(crew.check, crew.pilot), 'from a stock client');
			doc.getMap('entries').set(entry.hash, entry);
			await watcher.untilShows(entry);
			await watcher.untilStored(entry);
			const other = await remark(crew.check.writer, 'to a stock client');
			watcher.sendEntries(other);
			await watcher.untilStored(other);
			await until(() => doc.getMap('entries').has(other.hash));
			expect(closes).toEqual([]);
			provider.destroy();
		});

		it('[RLY-17] that deletes is closed for good', async () => {
			const { doc, provider, closes } = await stockClient();
			doc.getMap('entries').delete(crew.check.record);
			await until(() => closes.length > 0);
			expect(closes[0]).toBe(4422);
			provider.destroy();
			const reader = await enter(crew.engineer);
			reader.sync();
			await reader.until((one) => one.hashes().has(crew.check.record), 'the entry as it was');
		});
	});

	it('[RLY-14] a device that asks before the record is loaded is answered with all of it', async () => {
		const entry = await remark(crew.check.writer, 'kept before');
		const a = await enter();
		a.sendEntries(entry);
		await a.untilStored(entry);
		await hangar.restart();
		const ticket = String((await askTicket(hangar.url, crew.check.record, crew.pilot)).body.ticket);
		const clients = await Promise.all([
			RawClient.withTicket(hangar.url, crew.check.record, ticket),
			enter(crew.engineer),
			enter(crew.reviewer),
		]);
		for (const client of clients) {
			client.sync();
			await client.until((one) => one.hashes().size === crew.check.set.size, 'the whole record');
		}
	});

	it('an update whose parents are missing is held until they come', async () => {
		const doc = new Y.Doc({ gc: false });
		const writer = writerOf(crew.check, crew.pilot);
		const updates: Uint8Array[] = [];
		doc.on('update', (update: Uint8Array) => updates.push(update));
		const entries = [await remark(writer, 'one'), await remark(writer, 'two'), await remark(writer, 'three')];
		for (const entry of entries) doc.getMap('entries').set(entry.hash, entry);
		const a = await enter();
		const b = await enter(crew.engineer);
		a.send({ type: 'sync-update', update: updates[0] as Uint8Array });
		a.send({ type: 'sync-update', update: updates[2] as Uint8Array });
		await a.until((one) => one.received.filter((m) => m.type === 'sync-step-1').length >= 2, 'being asked again');
		a.send({ type: 'sync-update', update: updates[1] as Uint8Array });
		await a.untilStored(entries[2] as Entry);
		b.sync();
		for (const entry of entries) await b.untilShows(entry);
	});

	it('[RLY-26] updates that follow each other closely are judged ahead and taken in order, a new chain included', async () => {
		const writer = writerOf(crew.check, crew.pilot);
		const entries: Entry[] = [];
		for (let count = 0; count < 200; count++) entries.push(await remark(writer, `close behind ${count}`));
		const a = await enter();
		const b = await enter(crew.engineer);
		// The first names the key; those behind it arrive while it is still being judged.
		for (const entry of entries) a.sendEntries(entry);
		await a.untilStored(entries.at(-1) as Entry);
		await b.untilStored(entries.at(-1) as Entry);
		for (const entry of entries) await b.untilShows(entry);
		expect(a.closed).toBeNull();
		// One word for each commit, not for each entry.
		expect(b.received.filter((message) => message.type === 'stored').length).toBeLessThan(60);
	});

	it('[RLY-26] a forged update among sound ones closes the socket, and nothing behind it is taken', async () => {
		const writer = writerOf(crew.check, crew.pilot);
		const before = await remark(writer, 'sound');
		const after = await remark(writer, 'behind the forged one');
		const a = await enter();
		a.sendEntries(before);
		a.sendEntries({ ...before, text: 'forged' });
		a.sendEntries(after);
		await a.untilClosed();
		expect(a.closed?.code).toBe(4422);
		const b = await enter(crew.engineer);
		b.sync();
		await b.untilShows(before);
		expect(b.hashes().has(after.hash)).toBe(false);
	});

	it('an honest entry hidden by a client number used twice still reaches everybody', async () => {
		const pilotDoc = new Y.Doc({ gc: false });
		pilotDoc.clientID = 4242;
		const engineerDoc = new Y.Doc({ gc: false });
		engineerDoc.clientID = 4242;
		const first = await remark(writerOf(crew.check, crew.pilot), 'first under this number');
		const second = await remark(crew.check.writer, 'second under the same number');
		pilotDoc.getMap('entries').set(first.hash, first);
		engineerDoc.getMap('entries').set(second.hash, second);
		const a = await enter();
		const b = await enter(crew.engineer);
		const c = await enter(crew.reviewer);
		a.send({ type: 'sync-update', update: Y.encodeStateAsUpdate(pilotDoc) });
		await c.untilShows(first);
		b.send({ type: 'sync-update', update: Y.encodeStateAsUpdate(engineerDoc) });
		await c.untilShows(second);
		await b.untilStored(second);
	});

	it('the same entry sent by two devices, each from a document of its own, is one entry', async () => {
		const entry = await remark(writerOf(crew.check, crew.pilot), 'carried twice');
		const a = await enter();
		const b = await enter(crew.engineer);
		a.sendEntries(entry);
		b.sendEntries(entry);
		await Promise.all([a.untilStored(entry), b.untilStored(entry)]);
		b.send({ type: 'sync-step-2', update: updateOf([entry]) });
		await b.settled();
		const c = await enter(crew.reviewer);
		c.sync();
		await c.until((one) => one.hashes().size === crew.check.set.size, 'the whole record');
		expect([a.closed, b.closed]).toEqual([null, null]);
	});
});

async function until(holds: () => boolean): Promise<void> {
	for (let tries = 0; tries < 2_500 && !holds(); tries++) await new Promise((resolve) => setTimeout(resolve, 2));
	expect(holds()).toBe(true);
}
