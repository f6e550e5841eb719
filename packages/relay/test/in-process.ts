import type { Entry } from '@stillmast/formats/entry';
import { decodeMessage, type WireMessage } from '@stillmast/record/wire';
import { openHostKey } from '../src/access/host-key.js';
import { type Clock, type LogLine, systemClock } from '../src/ports.js';
import { adoptEntries } from '../src/room/adopt.js';
import { guardHere, type UpdateGuard } from '../src/room/guard.js';
import { createHall, type Hall } from '../src/room/hall.js';
import type { SeatLimits } from '../src/room/pace.js';
import type { PeerSocket } from '../src/room/peer-socket.js';
import type { Room } from '../src/room/room.js';
import { takeSeat, type Visitor } from '../src/room/seat.js';
import type { Store } from '../src/store/store.js';
import { enrol, type Opened, openCheck, type Person, person, seededRandom } from './crew.js';

const free = { perSecond: Number.MAX_SAFE_INTEGER, burst: Number.MAX_SAFE_INTEGER };
const noPace: SeatLimits = { frames: free, bytes: free };

/** The host's rooms on a store of the test's choice, without a network. */
export interface Rooms {
	readonly hall: Hall;
	readonly log: LogLine[];
	readonly check: Opened;
	readonly engineer: Person;
	readonly pilot: Person;
	/** A seat in the check, or in `another`. */
	seat(visitor?: Partial<Visitor>, record?: string): Promise<HandSocket>;
	/** A further check at the same host, with the same people. */
	another(): Promise<Opened>;
}

export async function openRooms(
	store: Store,
	options: { clock?: Clock; guard?: UpdateGuard; limits?: Partial<SeatLimits>; memoryBytes?: () => number } = {},
): Promise<Rooms> {
	const clock = options.clock ?? systemClock;
	const log: LogLine[] = [];
	const random = seededRandom('host');
	const host = await openHostKey(store, random);
	const hall = createHall({
		store,
		guard: options.guard ?? guardHere,
		pen: { key: host, random, unlocked: 'without-code', clock: { nowMs: () => 0, upMs: () => 0, clock: () => null } },
		clock,
		log: (line) => log.push(line),
		...(options.memoryBytes === undefined ? {} : { memoryBytes: options.memoryBytes }),
	});
	const [engineer, pilot] = [await person('engineer'), await person('pilot')];
	const another = async () => {
		const opened = await openCheck(engineer, { host: host.publicKey });
		await enrol(opened, pilot, 'pilot');
		const adopted = await adoptEntries(hall, opened.record, opened.set.inOrder());
		if (adopted) throw new Error(adopted.code);
		return opened;
	};
	const check = await another();
	return {
		hall,
		log,
		check,
		engineer,
		pilot,
		another,
		async seat(visitor = {}, record = check.record) {
			const room = (await hall.room(record)) as Room;
			const socket = new HandSocket();
			const may = { writes: true, feeds: true, drafts: true };
			const full: Visitor = { key: pilot.key.fingerprint, role: 'pilot', ...may, ...visitor };
			takeSeat(room, socket, full, {
				store,
				clock,
				log: (line) => log.push(line),
				build: 'test',
				limits: { ...noPace, ...options.limits },
			});
			return socket;
		},
	};
}

/** A socket whose other end is the test. */
export class HandSocket implements PeerSocket {
	readonly sent: Uint8Array[] = [];
	closed: { readonly code: number; readonly reason: string } | null = null;
	paused = 0;
	unsentBytes = 0;
	#onFrame: (frame: Uint8Array) => void = () => undefined;
	#onClose: () => void = () => undefined;

	send(frame: Uint8Array): void {
		if (!this.closed) this.sent.push(frame);
	}
	close(code: number, reason: string): void {
		this.closed ??= { code, reason };
	}
	bufferedBytes(): number {
		return this.unsentBytes;
	}
	pause(): void {
		this.paused += 1;
	}
	resume(): void {
		this.paused -= 1;
	}
	listen(handlers: { onFrame(frame: Uint8Array): void; onClose(): void }): void {
		this.#onFrame = handlers.onFrame;
		this.#onClose = handlers.onClose;
	}

	/** What the other side sends. */
	arrive(frame: Uint8Array): void {
		this.#onFrame(frame);
	}
	/** The other side is gone. */
	drop(): void {
		this.#onClose();
	}
	messages(): WireMessage[] {
		return this.sent.flatMap((frame) => {
			const decoded = decodeMessage(frame);
			return decoded.ok ? [decoded.value] : [];
		});
	}
	/** Looks again whenever the host may have moved on; work that waits for other threads is given its time. */
	async until(seen: (socket: HandSocket) => boolean, what: string, withinMs = 15_000): Promise<void> {
		const endMs = Date.now() + withinMs;
		while (!seen(this)) {
			if (Date.now() > endMs) throw new Error(`waited for ${what}; closed ${JSON.stringify(this.closed)}`);
			await new Promise((resolve) => setImmediate(resolve));
		}
	}
	hasStored({ chain, seq }: Entry): boolean {
		return this.messages().some(
			(message) => message.type === 'stored' && message.heads.some(([of, to]) => of === chain && to >= seq),
		);
	}
	says(type: WireMessage['type']): boolean {
		return this.messages().some((message) => message.type === type);
	}
}

/** Waits for work that has no promise of its own. */
export async function until(holds: () => boolean | Promise<boolean>, what: string, withinMs = 15_000): Promise<void> {
	const endMs = Date.now() + withinMs;
	while (!(await holds())) {
		if (Date.now() > endMs) throw new Error(`waited for ${what}`);
		await new Promise((resolve) => setTimeout(resolve, 2));
	}
}
