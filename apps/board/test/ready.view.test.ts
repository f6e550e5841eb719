import { mayWriteNow } from '@stillmast/record';
import { describe, expect, it } from 'vitest';
import { type DeviceFacts, type RecordFacts, readyItems } from '../src/lib/ready/ready.view.js';
import { recordFacts } from '../src/lib/ready/record-facts.js';
import { card, openCheck, typeData, type Writer } from './record-crew.js';

const device: DeviceFacts = {
	isSecure: true,
	isBoardKept: true,
	isStorageKept: true,
	freeBytes: 3e9,
	battery: { level: 0.81, isCharging: false },
	canStayLit: true,
	areDocumentsKept: true,
};
const record: RecordFacts = {
	entryCount: 31,
	lackingCount: 0,
	unkeptCount: 0,
	unstoredCount: 0,
	hasHost: true,
	card: 'Smoothing',
	type: 'Ouzel 3',
	revision: '3',
	pen: { name: 'Demo pilot', role: 'pilot', writes: true },
	clock: { offsetMs: -320, errorMs: 40 },
	others: [{ key: 'e', name: 'Demo engineer', last: { time: '10:00Z', lacksCount: 0 } }],
};
const notSo = (device: DeviceFacts, record: RecordFacts) =>
	readyItems(device, record).flatMap(({ id, state, found }) => (state === 'yes' ? [] : [`${id} ${state}: ${found}`]));

describe('readyItems(device, record)', () => {
	it('says yes to everything only when every item was found so', () => {
		expect(notSo(device, record)).toEqual([]);
		expect(readyItems(device, record)).toHaveLength(11);
	});

	it.each<[Partial<DeviceFacts>, string]>([
		[{ isSecure: false }, 'board no: Not at this address'],
		[{ isBoardKept: false }, 'board no: This browser has not kept the board'],
		[{ areDocumentsKept: false }, 'card no: They are shown and not kept'],
		[{ isStorageKept: false }, 'kept no: The browser may clear it'],
		[{ isStorageKept: null }, 'kept unknown: This browser does not say'],
		[{ freeBytes: 199e6 }, 'space no: 199 MB free'],
		[{ freeBytes: null }, 'space unknown:'],
		[{ battery: { level: 0.499, isCharging: false } }, 'battery no: 49 %'],
		[{ battery: null }, 'battery unknown:'],
		[{ canStayLit: false }, 'awake no:'],
	])('with %o it says so of that item and no other', (change, words) => {
		const found = notSo({ ...device, ...change }, record);
		expect(found).toHaveLength(1);
		expect(found[0]).toContain(words);
	});

	it.each<[Partial<RecordFacts>, string]>([
		[{ lackingCount: 3 }, 'check no: 3 entries are known'],
		[{ unkeptCount: 2 }, 'check no: 2 entries are not on this device'],
		[{ unstoredCount: 4 }, 'host no: 4 entries have not been stored'],
		[{ hasHost: false }, 'host unknown: This check is on this device only'],
		[{ pen: { name: 'R', role: 'reviewer', writes: false } }, 'pen no: This pen reads along'],
		[{ clock: { offsetMs: 1_900, errorMs: 200 } }, 'clock no: Off by 1.9 s'],
		[{ clock: null }, 'clock unknown: Nothing written with this pen yet'],
		[{ others: [{ key: 'e', name: 'E', last: null }] }, 'e unknown: It has written nothing yet'],
		[
			{ others: [{ key: 'e', name: 'E', last: { time: '10:00Z', lacksCount: 6 } }] },
			'e no: When it last wrote, 10:00Z, it lacked 6',
		],
	])('with %o it says so of that item and no other', (change, words) => {
		const found = notSo(device, { ...record, ...change });
		expect(found).toHaveLength(1);
		expect(found[0]).toContain(words);
	});
});

describe('recordFacts(check)', () => {
	const counts = { entries: 0, beingKept: 1, notOnThisDevice: 2, notAtHost: 0, lacking: 0, waitingForKey: 0 };
	const status = { link: { state: 'open' }, counts } as never;
	const factsAt = (writer: Writer) =>
		recordFacts({
			state: writer.state,
			status,
			card,
			typeData,
			role: writer.state.people.get(writer.own)?.role ?? null,
			may: (kind) => mayWriteNow(writer.state, writer.own, kind),
			pen: { name: 'Demo', key: { fingerprint: writer.own } },
			session: { entries: writer.set },
		});

	it('counts what another device of the crew lacked when it last wrote, and says when it never wrote', async () => {
		const engineer = await openCheck();
		const pilot = await engineer.letIn('pilot');
		await engineer.letIn('support');
		expect(factsAt(engineer).others).toEqual([{ key: pilot.own, name: 'Demo pilot', last: null }]);
		await pilot.write('mark', { flight: 1, step: 'hover' });
		engineer.hear(pilot);
		// support was let in after the pilot heard last
		expect(factsAt(engineer).others).toMatchObject([{ last: { time: '10:00Z', lacksCount: 1 } }]);
		pilot.hear(engineer);
		await pilot.write('mark', { flight: 1, step: 'hover' });
		engineer.hear(pilot);
		expect(factsAt(engineer).others).toMatchObject([{ last: { lacksCount: 0 } }]);
	});

	it('takes pen, disk and gaps from the record, never as given', async () => {
		const engineer = await openCheck();
		const reviewer = await engineer.letIn('reviewer');
		expect(factsAt(engineer)).toMatchObject({ unkeptCount: 3, hasHost: true, pen: { role: 'engineer', writes: true } });
		expect(factsAt(reviewer).pen.writes).toBe(false);
		expect(factsAt(engineer).clock).toBeNull();
	});
});
