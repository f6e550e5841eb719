import type { Entry, Role } from '@stillmast/formats/entry';
import {
	applyUpdate,
	createCarrier,
	guardUpdate,
	missingUpdate,
	stateVector,
	updateOf,
} from '../../src/carrier/index.js';
import type { HttpAnswer, NetworkPort, SocketHandlers } from '../../src/client/ports.js';
import { fingerprint, hashBytes } from '../../src/hash/hash-entry.js';
import {
	type ChainHead,
	closeCodes,
	decodeMessage,
	encodeMessage,
	FragmentAssembler,
	frames,
	WIRE_VERSION,
	type WireMessage,
} from '../../src/wire/index.js';
import type { VirtualClock } from './clock.js';

/** A connection as the host sees it. */
interface Peer {
	readonly role: Role;
	readonly frameIn: (frame: Uint8Array) => void;
	readonly drop: (code: number, reason: string) => void;
	readonly send: (message: WireMessage) => void;
}

/** One device's way to the host; a test breaks and mends it. */
export interface TestNetwork extends NetworkPort {
	/** `up` · `down`: nothing gets through and sockets break · `stalled`: sockets stay open and nothing arrives */
	readonly set: (state: 'up' | 'down' | 'stalled') => void;
	/** Its sockets say that much is still unsent. */
	readonly slow: (yes: boolean) => void;
	readonly closeAll: (code: number, reason?: string) => void;
	readonly sockets: () => number;
	/** Frames sent by this device since it was last asked. */
	readonly sent: () => readonly WireMessage[];
}

const ONE_WAY_MS = 5;

/**
 * A host in memory for one record, as lenient as can be: it keeps what it is sent, says what it keeps, passes it on.
 * Settings of a test: `commits` false keeps nothing and acknowledges nothing.
 */
export class TestHost {
	readonly clock: VirtualClock;
	readonly record: string;
	readonly entries = new Map<string, Entry>();
	readonly blobs = new Map<string, Uint8Array>();
	readonly roles = new Map<string, Role>();
	readonly posts: { readonly path: string; readonly body: unknown }[] = [];
	commits = true;
	knowsRecord = true;
	answers: (path: string) => HttpAnswer | null = () => null;
	hostAheadMs = 0;
	/** Messages of this type get lost on their way to the devices. */
	swallows: WireMessage['type'] | null = null;
	#carrier = createCarrier();
	readonly #peers = new Set<Peer>();
	#passes = 0;

	constructor(clock: VirtualClock, record: string) {
		this.clock = clock;
		this.record = record;
	}

	enrol(publicKey: string, role: Role): void {
		this.roles.set(fingerprint(publicKey), role);
	}

	/** Begins again with what was committed only, as after a failed commit or a crash. */
	restart(code: number = closeCodes.storeTrouble): void {
		for (const peer of [...this.#peers]) peer.drop(code, 'restart');
		this.#carrier = createCarrier();
		applyUpdate(this.#carrier, updateOf(this.entries.values()));
	}

	network(): TestNetwork {
		let state: 'up' | 'down' | 'stalled' = 'up';
		const open = new Set<(code: number, reason: string) => void>();
		let sent: WireMessage[] = [];
		let unsentBytes = 0;
		const later = (work: () => void) => void this.clock.after(ONE_WAY_MS, work);
		const ask = async (path: string, body: unknown): Promise<HttpAnswer> => {
			this.posts.push({ path, body });
			const answer = state === 'up' ? this.#answer(path, body) : { status: 0, body: null };
			await new Promise<void>((resolve) => later(resolve));
			return state === 'up' ? answer : { status: 0, body: null };
		};
		return {
			hostName: 'board.example',
			get: (path) => ask(path, null),
			post: ask,
			connect: (_path, protocols, handlers) => {
				const connection = this.#connect(protocols[1] ?? '', handlers, () => state === 'up', later);
				open.add(connection.drop);
				return {
					send: (frame) => {
						const message = decodeMessage(frame);
						if (message.ok) sent.push(message.value);
						if (state === 'up') later(() => connection.frameIn(frame));
					},
					bufferedBytes: () => unsentBytes,
					close: () => {
						open.delete(connection.drop);
						connection.drop(1000, '');
					},
				};
			},
			set: (next) => {
				state = next;
				if (state !== 'down') return;
				for (const drop of open) drop(1006, '');
				open.clear();
			},
			slow: (yes) => {
				unsentBytes = yes ? 100_000 : 0;
			},
			closeAll: (code, reason = '') => {
				for (const drop of open) drop(code, reason);
				open.clear();
			},
			sockets: () => this.#peers.size,
			sent: () => {
				const since = sent;
				sent = [];
				return since;
			},
		};
	}

	/** A stranger's bytes to everybody, past every guard. */
	shout(message: WireMessage): void {
		for (const peer of this.#peers) peer.send(message);
	}

	#connect(ticket: string, handlers: SocketHandlers, up: () => boolean, later: (work: () => void) => void): Peer {
		let ended = false;
		let fragmentId = 0;
		const assembler = new FragmentAssembler();
		const role = (ticket.split('.')[2] ?? 'pilot') as Role;
		const peer: Peer = {
			role,
			send: (message) => {
				if (message.type === this.swallows) return;
				const split = frames(encodeMessage(message), ++fragmentId);
				if (!split.ok) throw new Error('too big');
				for (const frame of split.value) later(() => !ended && up() && handlers.onMessage(frame));
			},
			frameIn: (frame) => {
				if (ended || !this.#peers.has(peer)) return;
				const message = decodeMessage(frame);
				if (!message.ok) throw new Error(message.problem.code);
				if (message.value.type === 'fragment') {
					const whole = assembler.add(message.value);
					if (!whole.ok) throw new Error(whole.problem.code);
					if (whole.value) peer.frameIn(whole.value);
				} else this.#take(message.value, peer);
			},
			drop: (code, reason) => {
				if (ended) return;
				ended = true;
				this.#peers.delete(peer);
				handlers.onClose(code, reason);
			},
		};
		later(() => {
			if (ended) return;
			if (!up()) {
				peer.drop(1006, '');
				return;
			}
			this.#peers.add(peer);
			handlers.onOpen();
			peer.send({ type: 'sync-step-1', stateVector: stateVector(this.#carrier) });
			peer.send({ type: 'stored', heads: this.#heads() });
		});
		return peer;
	}

	#take(message: WireMessage, peer: Peer): void {
		switch (message.type) {
			case 'hello':
				peer.send({ type: 'hello', wire: WIRE_VERSION, entryRange: [1, 1], build: 'host', role: peer.role });
				break;
			case 'sync-step-1': {
				const missing = missingUpdate(this.#carrier, message.stateVector);
				if (missing.ok) peer.send({ type: 'sync-step-2', update: missing.value });
				break;
			}
			case 'sync-step-2':
			case 'sync-update':
				this.#accept(message.update, peer);
				break;
			case 'ping':
				peer.send({ type: 'pong', n: message.n, at: message.at, hostAt: this.clock.nowMs() + this.hostAheadMs });
				break;
			case 'have':
				peer.send({ type: 'want', blobs: message.blobs.filter((hash) => !this.blobs.has(hash)) });
				break;
			case 'want':
				for (const hash of message.blobs) {
					const bytes = this.blobs.get(hash);
					if (bytes) peer.send({ type: 'blob', hash, bytes });
				}
				break;
			case 'blob':
				if (hashBytes(message.bytes) === message.hash) this.blobs.set(message.hash, message.bytes);
				for (const other of this.#peers) if (other !== peer) other.send({ type: 'have', blobs: [message.hash] });
				break;
			case 'feed':
			case 'draft':
				for (const other of this.#peers) if (other !== peer) other.send(message);
				break;
			default:
				break;
		}
	}

	#accept(update: Uint8Array, peer: Peer): void {
		const guarded = guardUpdate(update, this.record);
		if (!guarded.ok) {
			peer.drop(closeCodes.refused, guarded.problem.code);
			return;
		}
		applyUpdate(this.#carrier, update);
		for (const other of this.#peers) if (other !== peer) other.send({ type: 'sync-update', update });
		if (!this.commits) return;
		for (const entry of guarded.value.entries) this.entries.set(entry.hash, entry);
		for (const other of this.#peers) other.send({ type: 'stored', heads: this.#heads() });
	}

	/** Of each chain the last entry before which nothing is missing. */
	#heads(): ChainHead[] {
		const heads = new Map<string, Entry>();
		for (const entry of [...this.entries.values()].sort((a, b) => a.seq - b.seq)) {
			const last = heads.get(entry.chain);
			if (entry.seq === (last?.seq ?? 0) + 1) heads.set(entry.chain, entry);
		}
		return [...heads.values()].map(({ chain, seq, hash }) => [chain, seq, hash]);
	}

	#answer(path: string, body: unknown): HttpAnswer {
		const special = this.answers(path);
		if (special) return special;
		const fields = (body ?? {}) as Readonly<Record<string, string>>;
		if (path === '/api/nonce') return { status: 200, body: { nonce: `nonce${++this.#passes}` } };
		if (path !== '/api/ticket') return { status: 404, body: { code: 'no-route' } };
		if (!this.knowsRecord) return { status: 404, body: { code: 'record-not-here' } };
		const role = this.roles.get(fingerprint(fields.publicKey ?? ''));
		if (!role) return { status: 403, body: { code: 'not-enrolled' } };
		return { status: 200, body: { ticket: `${++this.#passes}.${role}`, role } };
	}
}
