import type { Problem } from '@stillmast/core/result';
import { ENTRY_VERSION, type Entry, type Role, roles } from '@stillmast/formats/entry';
import {
	addEntries,
	applyUpdate,
	createCarrier,
	isWaiting,
	missingUpdate,
	readEntries,
	stateVector,
} from '../../carrier/carrier.js';
import { readUpdate, withoutDeletes } from '../../carrier/update.js';
import {
	type ChainHead,
	type Draft,
	decodeMessage,
	type Feed,
	FragmentAssembler,
	WIRE_VERSION,
	type WireMessage,
	writes,
} from '../../wire/index.js';
import type { ClockPort } from '../ports.js';
import type { Outbox } from './outbox.js';

/** Above this the answer to the host's question goes out as entries in batches instead of one message. */
const ANSWER_BYTES_MAX = 4 * 1024 * 1024;

export interface RoomEvents {
	/** Values that claim to be entries; nothing about them is checked. */
	readonly onValues: (values: readonly unknown[]) => void;
	readonly onStored: (heads: readonly ChainHead[]) => void;
	/** Everything that the host had when it was asked has been handed to `onValues`. */
	readonly onSynced: () => void;
	readonly onRole: (role: Role) => void;
	readonly onBlobMessage: (message: Extract<WireMessage, { type: 'have' | 'want' | 'blob' }>) => void;
	readonly onFeed: (feed: Feed) => void;
	readonly onDraft: (draft: Draft) => void;
	readonly onPong: (n: number, hostAtMs: number) => void;
	readonly onProblem: (problem: Problem) => void;
	/** What the host sends can't be read: the connection is to be made anew. */
	readonly onGarbled: () => void;
}

/**
 * The sync conversation of one record with its host, over whatever connection there is. Its document carries entries
 * and answers what the host lacks; the record itself is the entry set, and nothing here takes anything out of it.
 */
export class Room {
	readonly #clock: ClockPort;
	readonly #outbox: Outbox;
	readonly #events: RoomEvents;
	readonly #build: string;
	#carrier = createCarrier();
	#assembler = new FragmentAssembler();
	#open = false;
	#mayWrite = false;
	#answered = false;
	#synced = false;

	constructor(clock: ClockPort, outbox: Outbox, build: string, events: RoomEvents) {
		this.#clock = clock;
		this.#outbox = outbox;
		this.#build = build;
		this.#events = events;
	}

	/** The host has answered what it has on this connection. */
	get synced(): boolean {
		return this.#synced;
	}

	/** True when updates of ours are taken by the host on this connection. */
	get mayWrite(): boolean {
		return this.#open && this.#mayWrite;
	}

	shows(hash: string): boolean {
		return this.#carrier.getMap('entries').has(hash);
	}

	/** Holds updates whose parents have not come. */
	get waiting(): boolean {
		return isWaiting(this.#carrier);
	}

	/** A connection is open: `role` as the ticket gave it. */
	opened(role: string): void {
		this.#open = true;
		this.#answered = false;
		this.#synced = false;
		this.#assembler = new FragmentAssembler();
		const known = roles.find((name) => name === role) ?? 'reviewer';
		this.#mayWrite = writes(known);
		this.#events.onRole(known);
		this.#send({
			type: 'hello',
			wire: WIRE_VERSION,
			entryRange: [ENTRY_VERSION, ENTRY_VERSION],
			build: this.#build,
			role: known,
		});
		this.ask();
	}

	closed(): void {
		this.#open = false;
		this.#synced = false;
	}

	/** Asks for all that isn't here. @param anew with an empty document, should the present one hide something */
	ask(anew = false): void {
		if (!this.#open) return;
		if (anew) this.#startAnew();
		this.#send({ type: 'sync-step-1', stateVector: stateVector(this.#carrier) });
	}

	/**
	 * Puts an entry written here into the document, and sends it if there is a connection. While the host's question is
	 * not answered yet it only waits for that answer: it may need entries before it that the host does not have.
	 */
	add(entry: Entry): void {
		const before = stateVector(this.#carrier);
		if (addEntries(this.#carrier, [entry]).length === 0 || !this.mayWrite || !this.#answered) return;
		const update = missingUpdate(this.#carrier, before);
		if (update.ok) this.#send({ type: 'sync-update', update: update.value });
	}

	/** Sends an update made elsewhere (`updateOf`), byte for byte. */
	sendAgain(update: Uint8Array): void {
		this.#send({ type: 'sync-update', update });
	}

	/** Takes an update of ours into the document, so that the next comparison with the host finds it there. */
	absorb(update: Uint8Array): void {
		if (!applyUpdate(this.#carrier, update).ok) this.#startAnew();
	}

	/** Blobs wait behind entries: a day of traces must not hold up the next reading. */
	send(message: WireMessage): void {
		if (message.type !== 'blob') this.#send(message);
		else if (this.#open) this.#outbox.pushLater(message);
	}

	hear(frame: Uint8Array): void {
		const message = decodeMessage(frame);
		if (!message.ok) {
			// a newer host may say more than this build knows
			if (message.problem.code === 'unknown-message') return;
			this.#garbled(message.problem);
			return;
		}
		if (message.value.type !== 'fragment') {
			this.#take(message.value);
			return;
		}
		const whole = this.#assembler.add(message.value);
		if (!whole.ok) this.#garbled(whole.problem);
		else if (whole.value) this.hear(whole.value);
	}

	#take(message: WireMessage): void {
		switch (message.type) {
			case 'sync-step-1':
				this.#answer(message.stateVector);
				return;
			case 'sync-step-2':
				this.#receive(message.update);
				if (this.#synced) return;
				this.#synced = true;
				this.#events.onSynced();
				return;
			case 'sync-update':
				this.#receive(message.update);
				return;
			case 'hello':
				this.#mayWrite = writes(message.role);
				this.#events.onRole(message.role);
				if (message.wire !== WIRE_VERSION) {
					this.#events.onProblem({ code: 'host-speaks-another-version', found: message.wire, needed: WIRE_VERSION });
				}
				return;
			case 'stored':
				this.#events.onStored(message.heads);
				return;
			case 'have':
			case 'want':
			case 'blob':
				this.#events.onBlobMessage(message);
				return;
			case 'feed':
				this.#events.onFeed(message);
				return;
			case 'draft':
				this.#events.onDraft(message);
				return;
			case 'ping':
				this.#send({ type: 'pong', n: message.n, at: message.at, hostAt: this.#clock.nowMs() });
				return;
			case 'pong':
				this.#events.onPong(message.n, message.hostAt);
				return;
			case 'awareness':
			case 'query-awareness':
			case 'fragment':
				return;
		}
	}

	/** What the host lacks of our document; what only the entry set knows goes out once we know what the host has. */
	#answer(theirs: Uint8Array): void {
		if (!this.#mayWrite) return;
		this.#answered = true;
		const update = missingUpdate(this.#carrier, theirs);
		if (!update.ok) this.#garbled(update.problem);
		else if (update.value.length <= ANSWER_BYTES_MAX) this.#send({ type: 'sync-step-2', update: update.value });
	}

	/**
	 * Entries are read from the update itself, not from what the document then shows: neither a gap in the other side's
	 * updates nor a client number used twice can hide one.
	 */
	#receive(update: Uint8Array): void {
		const clean = withoutDeletes(update);
		const read = clean.ok ? readUpdate(clean.value) : clean;
		const applied = applyUpdate(this.#carrier, clean.ok ? clean.value : update);
		if (read.ok) this.#events.onValues(read.value.items.map((item) => item.value));
		else {
			this.#events.onProblem({ code: 'host-sent-foreign', found: read.problem.code });
			this.#events.onValues(readEntries(this.#carrier).entries);
		}
		if (applied.ok) return;
		this.#events.onProblem(applied.problem);
		this.#startAnew();
		this.ask();
	}

	#startAnew(): void {
		this.#carrier.destroy();
		this.#carrier = createCarrier();
	}

	#garbled(problem: Problem): void {
		this.#events.onProblem({ code: 'host-garbled', found: problem.code });
		this.#events.onGarbled();
	}

	#send(message: WireMessage): void {
		if (this.#open) this.#outbox.push(message);
	}
}
