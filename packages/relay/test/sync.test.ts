import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { remark, writerOf } from './crew.js';
import { type Crew, type Hangar, openCrew, openHangar } from './hangar.js';
import { RawClient } from './raw-client.js';

describe('a record kept at the host', () => {
	let hangar: Hangar;
	let crew: Crew;

	beforeEach(async () => {
		hangar = await openHangar();
		crew = await openCrew(hangar);
	});
	afterEach(() => hangar.close());

	it('[RLY-10] two clients see each other’s entries at once and end up equal', async () => {
		const { check, engineer, pilot } = crew;
		const a = await RawClient.enter(hangar.url, check.record, engineer);
		const b = await RawClient.enter(hangar.url, check.record, pilot);
		const fromA = await remark(check.writer, 'plates on the bench');
		const fromB = await remark(writerOf(check, pilot), 'fuel 320');
		a.sendEntries(fromA);
		b.sendEntries(fromB);
		await Promise.all([b.untilShows(fromA), a.untilShows(fromB)]);
		a.sync();
		b.sync();
		a.add(fromA);
		b.add(fromB);
		await Promise.all([a.settled(), b.settled()]);
		expect([...a.hashes()].sort()).toEqual([...b.hashes()].sort());
		expect(a.hashes().size).toBe(check.set.size);
	});

	it('[RLY-11] stored names the last entry of the chain once it is kept, and a restart shows it', async () => {
		const { check, engineer } = crew;
		const a = await RawClient.enter(hangar.url, check.record, engineer);
		const entry = await remark(check.writer, 'stored or not');
		a.sendEntries(entry);
		await a.untilStored(entry);
		await hangar.restart();
		const again = await RawClient.enter(hangar.url, check.record, engineer);
		again.sync();
		await again.untilShows(entry);
		await again.untilStored(entry);
	});
});
