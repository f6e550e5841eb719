import type { HttpAnswer, NetworkPort, Socket, SocketHandlers } from '@stillmast/record/client';
import { ticketOf } from '@stillmast/record/wire';
import type { PeerSocket } from '@stillmast/relay/rooms';
import type { Dice, SimulatedClock } from './clock.js';
import type { SimulatedHost } from './host.js';

/** `stalled`: sockets stay open, what is sent waits and arrives late or, after a cut, never. */
export type Way = 'up' | 'down' | 'stalled';

/** Chances for each message; a real socket does none of these, a careless proxy or a bug of ours might. */
export interface Mischief {
	readonly drop: number;
	readonly double: number;
	readonly reorder: number;
}

export const NO_MISCHIEF: Mischief = { drop: 0, double: 0, reorder: 0 };

const FRAGMENT = 102;

/** One direction of one socket: in order, each frame with its own delay on top of what is before it. */
class Pipe {
	readonly #way: DeviceWay;
	readonly #deliver: (frame: Uint8Array) => void;
	#held: Uint8Array[] = [];
	#freeAt = 0;
	#swapped: Uint8Array | null = null;
	paused = false;
	ended = false;

	constructor(way: DeviceWay, deliver: (frame: Uint8Array) => void) {
		this.#way = way;
		this.#deliver = deliver;
	}

	send(frame: Uint8Array): void {
		const { dice, mischief } = this.#way;
		// parts of one message must come in order or not at all, as with any stream
		if (frame[0] !== FRAGMENT) {
			if (dice.chance(mischief.drop)) return;
			if (dice.chance(mischief.reorder) && this.#swapped === null) {
				this.#swapped = frame;
				return;
			}
			if (dice.chance(mischief.double)) this.#put(frame);
		}
		this.#put(frame);
		if (this.#swapped) {
			const late = this.#swapped;
			this.#swapped = null;
			this.#put(late);
		}
	}

	/** Passes on what could not get through before. */
	flush(): void {
		if (this.paused || this.#way.state !== 'up') return;
		const held = this.#held;
		this.#held = [];
		for (const frame of held) this.#arrive(frame);
	}

	#put(frame: Uint8Array): void {
		const { clock, dice } = this.#way;
		this.#freeAt = Math.max(this.#freeAt, clock.now) + dice.between(0, 3);
		clock.after(this.#freeAt - clock.now, () => this.#arrive(frame));
	}

	#arrive(frame: Uint8Array): void {
		if (this.ended) return;
		if (this.paused || this.#way.state !== 'up' || this.#held.length > 0) this.#held.push(frame);
		else this.#deliver(frame);
	}
}

/** A device's way to the host. */
export class DeviceWay {
	readonly clock: SimulatedClock;
	readonly dice: Dice;
	readonly #host: SimulatedHost;
	readonly #sockets = new Set<{ readonly cut: () => void; readonly flush: () => void }>();
	mischief: Mischief = NO_MISCHIEF;
	#state: Way = 'up';

	constructor(clock: SimulatedClock, dice: Dice, host: SimulatedHost) {
		this.clock = clock;
		this.dice = dice;
		this.#host = host;
	}

	get state(): Way {
		return this.#state;
	}

	set(state: Way): void {
		this.#state = state;
		if (state === 'down') this.cut();
		else for (const socket of this.#sockets) socket.flush();
	}

	/** Breaks every socket; what was on its way is lost. */
	cut(): void {
		for (const socket of [...this.#sockets]) socket.cut();
	}

	/** @param alive false once the page that asked is gone */
	port(alive: () => boolean): NetworkPort {
		const ask = async (path: string, body: unknown): Promise<HttpAnswer> => {
			await this.#delay();
			if (this.#state !== 'up') return { status: 0, body: null };
			const { record = '', publicKey = '' } = (body ?? {}) as Readonly<Record<string, string>>;
			const answer =
				path === '/api/nonce' ? { status: 200, body: { nonce: 'once' } } : await this.#host.ticket(record, publicKey);
			await this.#delay();
			// an answer that got lost: the host has given something out that nobody will use
			return this.#state === 'up' && this.#host.hall ? answer : { status: 0, body: null };
		};
		return {
			hostName: 'simulated.example',
			get: (path) => ask(path, null),
			post: ask,
			connect: (path, protocols, handlers) => this.#connect(path, protocols, handlers, alive),
		};
	}

	#delay(): Promise<void> {
		return new Promise((resolve) => void this.clock.after(this.dice.between(1, 10), resolve));
	}

	#connect(path: string, protocols: readonly string[], handlers: SocketHandlers, alive: () => boolean): Socket {
		let listeners: Parameters<PeerSocket['listen']>[0] | null = null;
		let ended = false;
		const toHost = new Pipe(this, (frame) => listeners?.onFrame(frame));
		const toPage = new Pipe(this, (frame) => alive() && handlers.onMessage(frame));
		/** Ends both directions; each side hears of it in its own time, or not at all. */
		const end = (code: number, reason: string, hostHears: boolean) => {
			if (ended) return;
			ended = true;
			toHost.ended = true;
			toPage.ended = true;
			this.#sockets.delete(socket);
			if (hostHears) listeners?.onClose();
			if (alive()) this.clock.after(this.dice.between(0, 5), () => alive() && handlers.onClose(code, reason));
		};
		const socket = {
			cut: () => end(1006, '', true),
			flush: () => {
				toHost.flush();
				toPage.flush();
			},
		};
		this.#sockets.add(socket);
		const peer: PeerSocket = {
			send: (frame) => toPage.send(frame),
			close: (code, reason) => end(code, reason, false),
			bufferedBytes: () => 0,
			pause: () => {
				toHost.paused = true;
			},
			resume: () => {
				toHost.paused = false;
				toHost.flush();
			},
			listen: (handlers) => {
				listeners = handlers;
			},
		};
		this.clock.after(this.dice.between(2, 12), () => {
			if (ended) return;
			if (this.#state !== 'up' || !this.#host.hall) {
				socket.cut();
				return;
			}
			if (alive()) handlers.onOpen();
			const record = path.split('/').at(-1) ?? '';
			void this.#host.receive(peer, record, ticketOf(protocols) ?? '', socket.cut);
		});
		return {
			send: (frame) => {
				if (!ended && alive()) toHost.send(frame);
			},
			bufferedBytes: () => 0,
			close: () => {
				// what was sent before goes out first, as a closing handshake has it
				this.clock.after(5, () => end(1000, '', true));
			},
		};
	}
}
