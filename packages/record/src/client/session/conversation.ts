import type { Problem, Result } from '@stillmast/core/result';
import type { Entry, Role } from '@stillmast/formats/entry';
import { blobHashesOf } from '../../file/blob-hashes.js';
import type { PenKey } from '../../pen/pen-key.js';
import type { EntrySet } from '../../set/entry-set.js';
import { encodeMessage, type Feed, type WireMessage } from '../../wire/index.js';
import { type AccessProblem, type Link, type LinkState, startLink } from '../link/index.js';
import type { Cancel, NetworkPort } from '../ports.js';
import type { Blobs } from './blobs.js';
import { Drafts } from './drafts.js';
import type { HostClock } from './host-clock.js';
import { Lacking } from './lacking.js';
import { type Outbox, outbox } from './outbox.js';
import type { Places } from './places.js';
import { Resend } from './resend.js';
import { Room } from './room.js';
import type { ClientPorts } from './types.js';

const TICK_MS = 1_000;
/** With more than this unsent, what only shows the moment would come too late. */
const PASSING_BUFFERED_BYTES_MAX = 32 * 1024;

export interface ConversationParts {
	readonly ports: ClientPorts & { readonly network: NetworkPort };
	/** The pen that asks for tickets; others may write over the same connection. */
	readonly key: PenKey;
	readonly entries: EntrySet;
	readonly places: Places;
	readonly blobs: Blobs;
	readonly hostClock: HostClock;
	/** Written by this page. */
	readonly isOwn: (entry: Entry) => boolean;
	/** Resolves when all that was handed over before is in the set. */
	readonly take: (values: readonly unknown[]) => Promise<unknown>;
	readonly bringRecord: () => Promise<Result<void, AccessProblem>>;
	readonly onFeed: (feed: Feed) => void;
	readonly onProblem: (problem: Problem) => void;
	/** Anything that the status shows may have changed. */
	readonly onChange: () => void;
	/** All that the host had is here. */
	readonly onSynced: () => void;
	/** A connection has ended. */
	readonly onDown: () => void;
}

/**
 * Everything between a session and its host: the link, the sync over it, and the one mechanism of recovery. What the
 * host has not acknowledged goes again; what it stores and is not here is asked for again. Nothing leaves before the
 * disk has answered for it. @rule DEV-2
 */
export class Conversation {
	readonly #parts: ConversationParts;
	readonly #link: Link;
	readonly #outbox: Outbox;
	readonly #room: Room;
	readonly #resend: Resend;
	readonly #lacking: Lacking;
	readonly drafts = new Drafts((message) => this.#sendPassing(message));
	#cancelTick: Cancel = () => undefined;
	#synced = false;
	#heardStored = false;
	#role: Role | null = null;

	constructor(parts: ConversationParts) {
		const { ports, places, blobs, hostClock, entries } = parts;
		const { clock, random, device, network } = ports;
		this.#parts = parts;
		this.#resend = new Resend(clock);
		this.#lacking = new Lacking(clock);
		this.#outbox = outbox(clock, {
			send: (frame) => this.#link.send(frame),
			bufferedBytes: () => this.#link.bufferedBytes(),
		});
		this.#room = new Room(clock, this.#outbox, ports.build, {
			onValues: (values) => void parts.take(values),
			onStored: (heads) => {
				// what an earlier connection said may have been undone since: a host restored from a copy knows less
				if (!this.#heardStored) places.forgetStored();
				this.#heardStored = true;
				places.acknowledge(heads);
				parts.onChange();
			},
			onSynced: () => void this.#afterSync(),
			onRole: (role) => {
				this.#role = role;
				parts.onChange();
			},
			onBlobMessage: (message) => void blobs.hear(message),
			onFeed: parts.onFeed,
			onDraft: (draft) => this.drafts.hear(draft),
			onPong: hostClock.hear,
			onProblem: parts.onProblem,
			onGarbled: () => this.#link.reconnect(),
		});
		this.#link = startLink(
			{ clock, random, network, device },
			entries.record,
			parts.key,
			{
				onOpen: (role) => this.#begin(role),
				onFrame: (frame) => this.#room.hear(frame),
				onDown: () => this.#end(),
				onChange: parts.onChange,
				ping: () => encodeMessage({ type: 'ping', ...hostClock.ask() }),
				bringRecord: parts.bringRecord,
			},
			ports.linkTimes,
		);
	}

	get link(): LinkState {
		return this.#link.state();
	}

	get lastContactMs(): number | null {
		return this.#link.lastContactMs();
	}

	get synced(): boolean {
		return this.#synced;
	}

	get role(): Role | null {
		return this.#role;
	}

	/** An entry written here that the disk has answered for. */
	add(entry: Entry): void {
		this.#room.add(entry);
	}

	sendFeed(feed: Omit<Feed, 'type'>): void {
		this.#sendPassing({ type: 'feed', ...feed });
	}

	get room(): Pick<Room, 'send'> {
		return this.#room;
	}

	retry(): void {
		this.#link.retry();
	}

	close(): void {
		this.#cancelTick();
		this.#link.close();
		this.#outbox.clear();
	}

	/** Passes the outbox by, and waits for nothing: a moment that is late is worth nothing. False when it was dropped. */
	#sendPassing(message: WireMessage): boolean {
		return this.#link.bufferedBytes() < PASSING_BUFFERED_BYTES_MAX && this.#link.send(encodeMessage(message));
	}

	#begin(role: string): void {
		this.#heardStored = false;
		this.#resend.reconnected();
		this.#lacking.begin();
		this.#room.opened(role);
		this.drafts.meet();
		this.#tick();
	}

	#end(): void {
		this.#cancelTick();
		this.#synced = false;
		this.#room.closed();
		this.#outbox.clear();
		this.#parts.onDown();
	}

	/** What the host has is known now: whatever only this device knows goes out at once, then what it names is offered. */
	async #afterSync(): Promise<void> {
		const { entries, places, blobs } = this.#parts;
		if (this.#room.mayWrite) {
			const absent = entries.inOrder().filter(({ hash }) => places.mayLeave(hash) && !this.#room.shows(hash));
			for (const update of this.#resend.batch(absent)) {
				this.#room.absorb(update);
				this.#room.sendAgain(update);
			}
		}
		await this.#parts.take([]);
		this.#synced = this.#room.synced;
		this.#parts.onChange();
		this.#parts.onSynced();
		// last, since a disk that says nothing would keep all of the above waiting
		await blobs.offerAll();
		await blobs.fetch([...entries.inOrder().flatMap(blobHashesOf), ...blobs.awaited()]);
	}

	/** While the link is open: sends again what is not acknowledged, asks again for what is missing. */
	#tick(): void {
		this.#cancelTick();
		this.#cancelTick = this.#parts.ports.clock.after(TICK_MS, () => this.#tick());
		const { entries, places, isOwn } = this.#parts;
		const { synced } = this.#room;
		this.drafts.sendLate();
		if (synced && this.#room.mayWrite) {
			const known = (hash: string) => (places.mayLeave(hash) ? entries.get(hash) : undefined);
			for (const update of this.#resend.due(places.unstored, known, isOwn)) this.#room.sendAgain(update);
		}
		const missing = places.lacking + entries.missing.size + (this.#room.waiting ? 1 : 0) + (synced ? 0 : 1);
		const next = this.#lacking.next(missing);
		if (next !== 'wait') this.#room.ask(next === 'ask-anew');
	}
}
