import { fingerprint } from '@stillmast/record/hash';
import { openKey, type PenKey } from '@stillmast/record/pen';
import { closeCodes } from '@stillmast/record/wire';
import {
	createHall,
	guardHere,
	type Hall,
	type PeerSocket,
	type Store,
	seatLimits,
	takeSeat,
	visitorOf,
} from '@stillmast/relay/rooms';
import type { Dice, SimulatedClock } from './clock.js';
import { type HostDisk, hostDisk, hostStore } from './host-store.js';
import { keyOf } from './signatures.js';

/** The host: the relay's own rooms on a disk that fails as the dice say. */
export class SimulatedHost {
	readonly disk: HostDisk = hostDisk();
	readonly key: PenKey;
	readonly #clock: SimulatedClock;
	readonly #dice: Dice;
	readonly #tickets = new Map<string, string>();
	readonly #drops = new Set<() => void>();
	#life = 0;
	#hall: Hall | null = null;
	#store: Store;
	/** Writes from now until one fails; the n-th of them. */
	#failsAfter = Number.POSITIVE_INFINITY;
	/** Time that a transaction takes, at most. */
	slowMs = 4;

	constructor(clock: SimulatedClock, dice: Dice) {
		this.#clock = clock;
		this.#dice = dice;
		this.key = openKey(keyOf(dice.bytes(32)));
		this.#store = this.#openStore();
	}

	get hall(): Hall | null {
		return this.#hall;
	}

	/** Starts on what was committed. */
	start(): Hall {
		const life = ++this.#life;
		const clock = this.#clock.port(() => this.#life === life);
		this.#store = this.#openStore();
		this.#hall = createHall({
			store: this.#store,
			guard: guardHere,
			pen: {
				key: this.key,
				random: (length) => this.#dice.bytes(length),
				clock: { nowMs: clock.nowMs, upMs: clock.monotonicMs, clock: () => null },
				unlocked: 'without-code',
			},
			clock,
			log: () => undefined,
		});
		return this.#hall;
	}

	/** Everything that was not committed is gone, and every socket with it. */
	crash(): void {
		this.#life += 1;
		this.#hall = null;
		this.#tickets.clear();
		for (const drop of [...this.#drops]) drop();
		this.#drops.clear();
	}

	failCommit(n: number): void {
		this.#failsAfter = n;
	}

	/** What the access routes answer: a role for a key that is enrolled, as the rooms know it. */
	async ticket(record: string, publicKey: string): Promise<{ status: number; body: unknown }> {
		const life = this.#life;
		const room = await this.#hall?.room(record).catch(() => null);
		if (life !== this.#life || !room) return { status: 503, body: { code: 'host-busy' } };
		const role = room.trust.roleOf(fingerprint(publicKey));
		if (!role) return { status: 403, body: { code: 'not-enrolled' } };
		const ticket = Buffer.from(this.#dice.bytes(20)).toString('base64url');
		this.#tickets.set(ticket, publicKey);
		return { status: 200, body: { ticket, role } };
	}

	/** Takes a socket as the relay does: access by ticket, everything wrong said by a close code. */
	async receive(socket: PeerSocket, record: string, ticket: string, drop: () => void): Promise<void> {
		this.#drops.add(drop);
		const life = this.#life;
		const publicKey = this.#tickets.get(ticket);
		this.#tickets.delete(ticket);
		if (!publicKey) {
			socket.close(closeCodes.ticketSpent, 'ticket spent');
			return;
		}
		if (this.#hall?.storeState !== 'ready') {
			socket.close(closeCodes.storeTrouble, 'store trouble');
			return;
		}
		socket.pause();
		const room = await this.#hall.room(record).catch(() => null);
		if (life !== this.#life) return;
		const visitor = room && visitorOf(room.trust, fingerprint(publicKey));
		if (!room || !visitor) {
			socket.close(room ? closeCodes.notEnrolled : closeCodes.storeTrouble, 'no seat');
			return;
		}
		const clock = this.#clock.port(() => life === this.#life);
		const ports = { store: this.#store, log: () => undefined, build: 'simulated', limits: seatLimits };
		takeSeat(room, socket, visitor, { ...ports, clock });
		socket.resume();
	}

	/** Transactions of a host that has crashed never come to an end. */
	#openStore(): Store {
		const life = this.#life;
		return hostStore(this.disk, {
			settle: () =>
				new Promise((resolve) => {
					this.#clock.after(this.#dice.between(0, this.slowMs), () => life === this.#life && resolve());
				}),
			fails: () => --this.#failsAfter <= 0 && this.#spent(),
		});
	}

	#spent(): boolean {
		this.#failsAfter = Number.POSITIVE_INFINITY;
		return true;
	}
}
