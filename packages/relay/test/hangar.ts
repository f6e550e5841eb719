import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { LogLine } from '../src/ports.js';
import { type Relay, type RelayOptions, startRelay } from '../src/relay.js';
import { enrol, type Opened, openCheck, type Person, person, seededRandom } from './crew.js';

/** A relay with a folder of its own, and what it logged. */
export interface Hangar {
	readonly place: string;
	readonly log: LogLine[];
	relay: Relay;
	readonly url: string;
	/** Stops the relay and starts it again on the same folder. */
	restart(options?: Partial<RelayOptions>): Promise<void>;
	close(): Promise<void>;
}

export async function openHangar(options: Partial<RelayOptions> = {}): Promise<Hangar> {
	const place = await mkdtemp(join(tmpdir(), 'stillmast-hangar-'));
	const log: LogLine[] = [];
	const start = (more: Partial<RelayOptions> = {}) =>
		startRelay({
			port: 0,
			dataDir: place,
			random: seededRandom(place),
			log: (line) => log.push(line),
			...options,
			...more,
		});
	const hangar: Hangar = {
		place,
		log,
		relay: await start(),
		get url() {
			return hangar.relay.url;
		},
		async restart(more) {
			await hangar.relay.stop();
			hangar.relay = await start(more);
		},
		async close() {
			await hangar.relay.stop().catch(() => undefined);
			await rm(place, { recursive: true, force: true });
		},
	};
	return hangar;
}

export interface Crew {
	readonly check: Opened;
	readonly engineer: Person;
	readonly pilot: Person;
	readonly reviewer: Person;
}

/** A check kept at the hangar, with an engineer who opened it, a pilot and a reviewer. */
export async function openCrew(hangar: Hangar, name = 'crew'): Promise<Crew> {
	const [engineer, pilot, reviewer] = [
		await person(`${name} engineer`),
		await person(`${name} pilot`),
		await person(`${name} reviewer`),
	];
	const check = await openCheck(engineer, { host: hangar.relay.publicKey });
	await enrol(check, pilot, 'pilot');
	await enrol(check, reviewer, 'reviewer');
	const adopted = await hangar.relay.adopt(check.record, check.set.inOrder());
	if (adopted) throw new Error(adopted.code);
	return { check, engineer, pilot, reviewer };
}
