import { createHash } from 'node:crypto';
import type { Entry } from '@stillmast/formats/entry';
import { createKey, openKey, openRecord, type PenKey } from '@stillmast/record';
import {
	type ClientPorts,
	type DevicePort,
	joinRecord,
	keepInvite,
	type NetworkPort,
	openCheck,
	openSession,
	type Session,
} from '@stillmast/record/client';
import { browserClock, browserNetwork, browserRandom } from '@stillmast/record/client/browser';
import { type MemoryDisk, memoryDisk, memoryStore } from '@stillmast/record/client/memory';

const CARD = Buffer.from('{"invented":"card"}');
const TYPE_DATA = Buffer.from('{"invented":"type"}');
const nameOf = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('base64url');
const OPENED = {
	purpose: 'demo',
	role: 'engineer',
	name: 'Engineer at the bench',
	aircraft: { registration: 'ZZ-TST', type: 'Ouzel 3', serial: 'invented 1' },
	card: nameOf(CARD),
	typeData: nameOf(TYPE_DATA),
} as const;

/** A device without a browser: memory for a disk, the real network and clock, and a switch for being offline. */
export class Tablet {
	readonly disk: MemoryDisk = memoryDisk();
	readonly key: PenKey;
	readonly ports: ClientPorts & { readonly network: NetworkPort };
	readonly #listeners = new Set<() => void>();
	#online = true;
	/** Closes the sockets that are open. */
	readonly #sockets = new Set<() => void>();

	static async of(url: string): Promise<Tablet> {
		return new Tablet(url, openKey(await createKey(browserRandom)));
	}

	private constructor(url: string, key: PenKey) {
		this.key = key;
		const network = browserNetwork(url);
		const device: DevicePort = {
			online: () => this.#online,
			visible: () => true,
			onChange: (listener) => {
				this.#listeners.add(listener);
				return () => void this.#listeners.delete(listener);
			},
		};
		const unreachable = { status: 0, body: null };
		this.ports = {
			clock: browserClock,
			random: browserRandom,
			device,
			store: memoryStore(this.disk),
			build: 'test',
			network: {
				hostName: network.hostName,
				get: (path) => (this.#online ? network.get(path) : Promise.resolve(unreachable)),
				post: (path, body) => (this.#online ? network.post(path, body) : Promise.resolve(unreachable)),
				connect: (path, protocols, handlers) => {
					const socket = network.connect(path, protocols, handlers);
					this.#sockets.add(socket.close);
					return socket;
				},
			},
		};
	}

	setOnline(online: boolean): void {
		this.#online = online;
		if (!online) for (const close of this.#sockets) close();
		this.#sockets.clear();
		for (const listener of this.#listeners) listener();
	}

	get hand() {
		return { key: this.key, unlocked: 'by-code' } as const;
	}

	open(record: string): Promise<Session> {
		return openSession(this.ports, record, this.hand);
	}

	/** Opens a check with invented card and type data. */
	async openCheck(): Promise<Session> {
		const opened = await openCheck(this.ports, this.hand, { fields: OPENED, blobs: [CARD, TYPE_DATA] });
		if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
		return opened.value;
	}

	/** A record of an earlier day, by which the host knows this pen as crew. */
	async earlierRecord(hostKey: string): Promise<{ record: string; entries: readonly Entry[] }> {
		const clock = { nowMs: browserClock.nowMs, upMs: browserClock.monotonicMs, clock: () => null };
		const opened = await openRecord({ ...this.hand, random: browserRandom, clock }, OPENED);
		if (!opened.ok) throw new Error(opened.problem.code);
		const { set, writer } = opened.value;
		await writer.write('enrolled', { publicKey: hostKey, role: 'host', name: 'hangar', invite: null });
		return { record: set.record, entries: set.inOrder() };
	}

	async join(secret: string, name: string): Promise<Session> {
		const invite = await keepInvite(this.ports, secret);
		if (!invite.ok) throw new Error(invite.problem.code);
		const joined = await joinRecord(this.ports, invite.value, this.hand, name);
		if (!joined.ok) throw new Error(JSON.stringify(joined.problem));
		if (!joined.value.session) throw new Error('the host keeps nothing yet');
		return joined.value.session;
	}
}

export async function remark(session: Session, text: string): Promise<Entry> {
	const written = await session.write('remark', { to: null, asks: false, text });
	if (!written.ok) throw new Error(JSON.stringify(written.problem));
	return written.value as unknown as Entry;
}

/** Resolves when `holds`, checked after every change of these sessions; rejects with their status when it takes too long. */
export async function until(sessions: readonly Session[], holds: () => boolean, withinMs = 15_000): Promise<number> {
	const begun = performance.now();
	while (!holds()) {
		if (performance.now() - begun > withinMs) {
			throw new Error(`not within ${withinMs} ms: ${JSON.stringify(sessions.map((session) => session.status))}`);
		}
		await new Promise((resolve) => setTimeout(resolve, 5));
	}
	return performance.now() - begun;
}

export const level = (...sessions: readonly Session[]) =>
	sessions.every(
		(session) =>
			session.status.synced &&
			session.status.counts.notAtHost === 0 &&
			session.status.counts.lacking === 0 &&
			session.entries.size === sessions[0]?.entries.size,
	);
