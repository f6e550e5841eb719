import type { Entry } from '@stillmast/formats/entry';
import { type MemoryDisk, memoryDisk, memoryStore } from '../../src/client/memory/index.js';
import type { TabsPort } from '../../src/client/ports.js';
import { openSession } from '../../src/client/session/open.js';
import type { ClientPorts, Session } from '../../src/client/session/types.js';
import type { LocalStore } from '../../src/client/store/index.js';
import type { PenKey } from '../../src/index.js';
import { seededRandom, type VirtualClock, virtualClock } from './clock.js';
import { penKey, smallRecord } from './crew.js';
import { type TestDevice, testDevice } from './device.js';
import { TestHost, type TestNetwork } from './host.js';

/** A device with its disk, its network and its pen; pages come and go on it. */
export interface Tablet {
	readonly key: PenKey;
	readonly disk: MemoryDisk;
	readonly network: TestNetwork;
	readonly device: TestDevice;
	readonly open: (store?: LocalStore) => Promise<Session>;
}

export interface World {
	readonly clock: VirtualClock;
	readonly host: TestHost;
	readonly record: string;
	readonly tablet: (role?: 'pilot' | 'engineer' | 'reviewer') => Promise<Tablet>;
}

let seed = 1_000;

export async function world(): Promise<World> {
	const clock = virtualClock();
	const { set, entries } = await smallRecord(++seed, 0);
	const host = new TestHost(clock, set.record);
	for (const entry of entries) host.entries.set(entry.hash, entry);
	host.restart();
	return {
		clock,
		host,
		record: set.record,
		tablet: async (role = 'pilot') => {
			const key = await penKey(++seed);
			host.enrol(key.publicKey, role);
			const disk = memoryDisk();
			const network = host.network();
			const device = testDevice();
			const channels = new Set<(message: unknown) => void>();
			const tabs = (): TabsPort => {
				let own: ((message: unknown) => void) | null = null;
				return {
					post: (message) => {
						for (const channel of channels) if (channel !== own) channel(structuredClone(message));
					},
					onMessage: (listener) => {
						own = listener;
						channels.add(listener);
						return () => void channels.delete(listener);
					},
					close: () => void (own && channels.delete(own)),
				};
			};
			const open = (store: LocalStore = memoryStore(disk)) => {
				const ports: ClientPorts = {
					clock,
					random: seededRandom(++seed),
					device,
					store,
					network,
					tabs,
					build: 'test',
				};
				return openSession(ports, set.record, { key, unlocked: 'by-code' });
			};
			return { key, disk, network, device, open };
		},
	};
}

export async function remark(session: Session, text: string): Promise<Entry> {
	const written = await session.write('remark', { to: null, asks: false, text });
	if (!written.ok) throw new Error(JSON.stringify(written.problem));
	return written.value as unknown as Entry;
}
