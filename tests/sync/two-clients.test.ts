import { exportSession, keepFile } from '@stillmast/record/client';
import { verifyRecordFile } from '@stillmast/record/file';
import { canonicalJson } from '@stillmast/record/hash';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { PageSocket } from './page-socket.js';
import { RelayProcess } from './relay-process.js';
import { level, remark, Tablet, until } from './tablet.js';

// Node 20 has no WebSocket of its own
vi.stubGlobal('WebSocket', PageSocket);

describe('two crews and a relay', () => {
	let relay: RelayProcess;

	beforeEach(async () => {
		relay = await RelayProcess.start();
	});
	afterEach(() => relay.end());

	async function crews() {
		const workshop = await Tablet.of(relay.url);
		const { record, entries } = await workshop.earlierRecord(relay.publicKey);
		await relay.adopt(record, entries);
		const engineer = await workshop.openCheck();
		await until([engineer], () => level(engineer));
		const cockpit = await Tablet.of(relay.url);
		const pilot = await cockpit.join(await relay.invite(engineer.record, 'pilot'), 'Pilot in the left seat');
		await until([engineer, pilot], () => level(engineer, pilot) && engineer.entries.size === 3);
		return { workshop, engineer, cockpit, pilot };
	}

	it('[DEV-25] a check begun on a tablet is brought to the host by itself; a pilot joins it by invite', async () => {
		const { engineer, pilot } = await crews();
		expect([...pilot.state.people.values()].map(({ role, creator }) => ({ role, creator }))).toEqual([
			{ role: 'engineer', creator: true },
			{ role: 'host', creator: false },
			{ role: 'pilot', creator: false },
		]);
		expect(canonicalJson([...pilot.entries.inOrder()])).toBe(canonicalJson([...engineer.entries.inOrder()]));
		// card and type data came along
		await until([pilot], () => pilot.status.synced);
		await vi.waitFor(async () => expect(await pilot.blobHashes()).toHaveLength(2));
		engineer.close();
		pilot.close();
	});

	it('[DEV-11] two clients converge, one offline for a whole flight and back, and export the same bytes', async () => {
		const { engineer, cockpit, pilot } = await crews();
		cockpit.setOnline(false);
		for (let n = 0; n < 120; n++) {
			await remark(pilot, `in flight ${n}`);
			if (n % 3 === 0) await remark(engineer, `in the workshop ${n}`);
		}
		expect(pilot.status.counts.notAtHost).toBe(120);
		cockpit.setOnline(true);
		await until([engineer, pilot], () => level(engineer, pilot) && pilot.entries.size === 163);
		const [one, two] = [await exportSession(engineer), await exportSession(pilot)];
		expect(one.missingBlobs).toEqual([]);
		expect(two.text).toBe(one.text);
		const verified = await verifyRecordFile(one.text);
		expect(verified.faults).toEqual([]);
		expect(verified.whole).toBe(true);
		engineer.close();
		pilot.close();
	});

	it('[DEV-12] the relay killed again and again while both write: nothing is lost, nothing is doubled', async () => {
		const { engineer, pilot } = await crews();
		const written: string[] = [];
		for (let round = 0; round < 4; round++) {
			for (let n = 0; n < 25; n++) {
				written.push(
					(await remark(pilot, `pilot ${round} ${n}`)).hash,
					(await remark(engineer, `engineer ${round} ${n}`)).hash,
				);
				if (n === 12 + round) await relay.kill();
				await new Promise((resolve) => setTimeout(resolve, 5));
			}
			await relay.start();
		}
		await until([engineer, pilot], () => level(engineer, pilot) && pilot.entries.size === 203, 25_000);
		for (const hash of written) {
			expect(engineer.placeOf(hash)).toMatchObject({ device: 'on-this-device', host: true });
			expect(pilot.placeOf(hash)).toMatchObject({ device: 'on-this-device', host: true });
		}
		// what the host acknowledged is what it still has after one more kill
		await relay.kill();
		await relay.start();
		const third = await Tablet.of(relay.url);
		const reader = await third.join(await relay.invite(engineer.record, 'reviewer'), 'Reviewer');
		await until([reader, engineer], () => reader.entries.size === 204 && level(reader));
		expect(written.filter((hash) => !reader.entries.has(hash))).toEqual([]);
		expect(reader.state.alarms).toEqual([]);
		for (const session of [engineer, pilot, reader]) session.close();
	});

	it('[DEV-17] a record file carried on a stick into a device without network goes on to the host from there', async () => {
		const { workshop, engineer, pilot } = await crews();
		workshop.setOnline(false);
		const away = await remark(engineer, 'written where there is no network');
		await engineer.settled();
		const { text } = await exportSession(engineer);
		engineer.close();
		const third = await Tablet.of(relay.url);
		const carried = await keepFile(third.ports, text);
		expect(carried).toMatchObject({ ok: true, value: { record: pilot.record, added: 4, unproved: 0 } });
		const support = await third.join(await relay.invite(pilot.record, 'support'), 'Support at another base');
		await until([support, pilot], () => pilot.entries.has(away.hash) && level(support, pilot));
		for (const session of [support, pilot]) session.close();
	});
});
