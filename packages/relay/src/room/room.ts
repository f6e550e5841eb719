import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry, FieldsOf, Kind } from '@stillmast/formats/entry';
import { isDraftQuestion, updateOf } from '@stillmast/record/carrier';
import type { EntrySet } from '@stillmast/record/set';
import { closeCodes, type Draft, type Feed } from '@stillmast/record/wire';
import { ChainWriter, type WriterOptions } from '@stillmast/record/writer';
import { createAllowance } from '../access/allowance.js';
import type { Clock, Log } from '../ports.js';
import type { EntryRow, PersonRow, Store, StoredRecord, WriteElsewhere } from '../store/store.js';
import { Audience } from './audience.js';
import { Content } from './content.js';
import { rowOf, rowOfText } from './entry-row.js';
import { createFeedGate } from './feed-gate.js';
import type { GuardProblem, UpdateGuard, Verdict } from './guard.js';
import { toWire } from './head-news.js';
import type { Member } from './member.js';
import { createPresence } from './presence.js';
import type { Trust } from './trust.js';

/** So that a list of names fits into one frame. */
const BLOBS_NAMED_AT_ONCE = 1_000;
/** How often one person may ask what the others have typed. */
const DRAFT_QUESTIONS = { burst: 20, perMinute: 60 };

export interface RoomPorts {
	readonly store: Store;
	readonly guard: UpdateGuard;
	/** With what the host writes its own entries. */
	readonly pen: WriterOptions;
	readonly clock: Clock;
	readonly log: Log;
	/** Called once when a write of this room failed; the room has let go of everything by then. */
	readonly onStoreFailure: (error: unknown) => void;
}

/** One record that is open here: what it holds, whoever is connected to it, and what is on its way to the store. */
export class Room {
	readonly record: string;
	readonly #content: Content;
	readonly #presence = createPresence();
	readonly #ports: RoomPorts;
	readonly #audience: Audience;
	readonly #writes = new Set<Promise<unknown>>();
	readonly #feeds;
	/** Every question makes all others answer. */
	readonly #questions;
	/** The host's chain in this record: one for each time the record is opened here. */
	#writer: ChainWriter | null = null;
	#open = true;

	/** Builds the room from what is kept; an entry that the replayed updates do not show is set again, for good. */
	static async load(record: string, stored: StoredRecord, ports: RoomPorts): Promise<Room> {
		const room = new Room(record, stored, ports);
		const shown = room.#content.setAgain(room.entries.inOrder());
		if (shown) {
			await ports.store.append({ record, atMs: ports.clock.nowMs(), update: shown, entries: [], people: [] });
		}
		return room;
	}

	private constructor(record: string, stored: StoredRecord, ports: RoomPorts) {
		this.record = record;
		this.#ports = ports;
		this.#audience = new Audience(ports.clock);
		this.#content = new Content(record, stored, ports.log);
		this.#questions = createAllowance({ clock: ports.clock, ...DRAFT_QUESTIONS });
		this.#feeds = createFeedGate(ports.clock, (feed) => this.#audience.tellPassing(feed));
	}

	get entries(): EntrySet {
		return this.#content.entries;
	}

	get trust(): Trust {
		return this.#content.trust;
	}

	/** Nobody connected and everything kept: it may be unloaded. */
	get idle(): boolean {
		return this.#audience.size === 0 && this.#writes.size === 0;
	}

	get memberCount(): number {
		return this.#audience.size;
	}

	/** Subscribed before the snapshot is sent, so that nothing falls between the two. */
	enter(member: Member): void {
		this.#audience.add(member);
		this.askForMissing(member);
		this.sendPresence(member);
		this.#tellKept(member).catch((error: unknown) => this.#fail(error));
	}

	/** What is kept, read from the store and not from memory. */
	async #tellKept(member: Member): Promise<void> {
		const { store } = this.#ports;
		const heads = await store.heads(this.record);
		member.send({ type: 'stored', heads: heads.map(toWire) });
		const hashes = await store.blobHashes(this.record);
		for (let at = 0; at < hashes.length; at += BLOBS_NAMED_AT_ONCE) {
			member.send({ type: 'have', blobs: hashes.slice(at, at + BLOBS_NAMED_AT_ONCE) });
		}
	}

	leave(member: Member): void {
		this.#audience.delete(member);
		const gone = this.#presence.leave(member);
		if (gone) this.#audience.tell({ type: 'awareness', update: gone });
	}

	/** What a replica with this state vector lacks. */
	missingFrom(theirs: Uint8Array): ReturnType<Content['missingFrom']> {
		return this.#content.missingFrom(theirs);
	}

	/** Asks a member for everything that is not here. */
	askForMissing(member: Member): void {
		member.send({ type: 'sync-step-1', stateVector: this.#content.stateVector() });
	}

	sendPresence(member: Member): void {
		for (const update of this.#presence.all()) member.send({ type: 'awareness', update });
	}

	hearPresence(member: Member, update: Uint8Array): void {
		const heard = this.#presence.hear(member, member.key, update);
		if (heard) this.#audience.tellPassing({ type: 'awareness', update: heard });
	}

	/** Gauges go on to the others only for the aircraft that this record is about. */
	hearFeed(feed: Feed): void {
		if (feed.registration === this.trust.registration) this.#feeds.offer(feed);
	}

	/** What people type together goes on to the others and is kept nowhere. */
	hearDraft(from: Member, draft: Draft): void {
		if (isDraftQuestion(draft.update) && !this.#questions.take(from.key)) return;
		this.#audience.tellPassing(draft, from);
	}

	/** Keeps a blob whose hash was checked and tells the others that it is here; false when the store failed. */
	async keepBlob(hash: string, bytes: Uint8Array): Promise<boolean> {
		try {
			await this.#ports.store.putBlob({ record: this.record, hash, bytes });
		} catch (error) {
			this.#fail(error);
			return false;
		}
		this.#audience.tell({ type: 'have', blobs: [hash] });
		return true;
	}

	/** Is an update sound? Asked ahead of `accept`, so that many are judged while others are taken in. */
	judge(update: Uint8Array): Promise<Verdict> {
		return this.#ports.guard.judge(update, this.entries);
	}

	/** Takes in an update that is sound: it is passed on at once and written. A refusal changes nothing. */
	async accept(update: Uint8Array, early: Verdict, from: Member): Promise<Result<void, GuardProblem>> {
		// Judged ahead, it may have come before the entry that names its key.
		const judged = !early.ok && early.problem.code === 'key-unknown' ? await this.judge(update) : early;
		if (!judged.ok) return judged;
		const { entries, texts } = judged.value;
		if (this.#open) {
			const rows = entries.map((entry, index) => rowOfText(entry, texts[index] as string));
			this.#take(update, rows, entries, this.#content.add(entries), from);
		}
		return ok(undefined);
	}

	/** Adds entries of a record file that were proved before. Resolves with true when they are kept. */
	async add(entries: readonly Entry[]): Promise<boolean> {
		if (!this.#open) return false;
		const fresh = this.#content.add(entries);
		return fresh.length === 0 ? this.settled() : this.#take(updateOf(fresh), fresh.map(rowOf), fresh, fresh, null);
	}

	/** Takes in what another relay on the same store has committed. */
	takeElsewhere({ update, entries, heads }: Omit<WriteElsewhere, 'record'>): void {
		if (!this.#open || !this.#apply(update)) return;
		this.#learnTrust(this.#content.add(this.#content.admit(entries)));
		this.#audience.tell({ type: 'sync-update', update });
		this.#audience.announce(heads, null);
	}

	/** Reads again what is kept, after word of other relays' writes may have been lost; passes on what was missing. */
	async catchUp(): Promise<void> {
		const before = this.#content.stateVector();
		const { store } = this.#ports;
		const { updates, entries } = await store.load(this.record);
		const heads = await store.heads(this.record);
		if (!this.#open) return;
		this.#content.replay(updates);
		this.#learnTrust(this.#content.add(this.#content.admit(entries)));
		const missed = this.#content.missingFrom(before);
		if (missed.ok) this.#audience.tell({ type: 'sync-update', update: missed.value });
		this.#audience.announce(heads, null);
	}

	/** Writes an entry of the host itself. Resolves when it is kept. */
	async write<K extends Kind>(kind: K, fields: FieldsOf<K>): Promise<Result<Entry, Problem>> {
		this.#writer ??= new ChainWriter(this.entries, this.#ports.pen);
		const written = await this.#writer.write(kind, fields);
		if (!written.ok) return written;
		const entry = written.value as unknown as Entry;
		const kept = this.#open && (await this.#take(updateOf([entry]), [rowOf(entry)], [entry], [entry], null));
		return kept ? ok(entry) : fail({ code: 'store-trouble' });
	}

	/** Closes every connection of this room; what is being written goes on. */
	close(code: number, reason: string): void {
		this.#open = false;
		this.#feeds.stop();
		this.#audience.close(() => ({ code, reason }));
	}

	/** Resolves when nothing handed over before is waiting to be written; true when all of it is kept. */
	async settled(): Promise<boolean> {
		while (this.#writes.size > 0) await Promise.allSettled([...this.#writes]);
		return this.#open;
	}

	/** @returns true when it is kept, false when the write failed and the room is gone */
	#take(
		update: Uint8Array,
		rows: readonly EntryRow[],
		judged: readonly Entry[],
		fresh: readonly Entry[],
		from: Member | null,
	): Promise<boolean> {
		const applied = this.#apply(update);
		if (!applied) return Promise.resolve(false);
		const people = this.#learnTrust(fresh);
		this.#audience.tell({ type: 'sync-update', update }, from);
		const kept = this.#write(update, rows, people, from);
		if (applied.waiting) {
			if (from) this.askForMissing(from);
		} else this.#showHidden(judged);
		return kept;
	}

	#apply(update: Uint8Array): { readonly waiting: boolean } | null {
		const applied = this.#content.apply(update);
		if (applied.ok) return applied.value;
		// It was sound when it was judged; whatever this is, the document can no longer be relied on.
		this.#fail(new Error(`update could not be applied: ${applied.problem.found}`));
		return null;
	}

	/**
	 * Yjs passes over what looks known by its client number and clock, so a number used twice hides an honest entry.
	 * Such an entry is set again under a number of the host's.
	 */
	#showHidden(judged: readonly Entry[]): void {
		const shown = this.#content.setAgain(judged);
		if (!shown) return;
		this.#audience.tell({ type: 'sync-update', update: shown });
		this.#write(shown, [], [], null);
	}

	/** Whoever no longer belongs loses the connection at once. @rule RLY-49 */
	#learnTrust(fresh: readonly Entry[]): readonly PersonRow[] {
		if (!this.#content.learnTrust(fresh)) return [];
		this.#audience.close(({ key }) =>
			this.trust.roleOf(key) === null ? { code: closeCodes.notEnrolled, reason: 'revoked' } : null,
		);
		return this.trust.people();
	}

	#write(
		update: Uint8Array,
		entries: readonly EntryRow[],
		people: readonly PersonRow[],
		from: Member | null,
	): Promise<boolean> {
		const write = this.#ports.store.append({
			record: this.record,
			atMs: this.#ports.clock.nowMs(),
			update,
			entries,
			people,
		});
		const settled = write.then(
			(heads) => {
				this.#writes.delete(settled);
				this.#audience.announce(heads, from);
				return true;
			},
			(error: unknown) => {
				this.#writes.delete(settled);
				this.#fail(error);
				return false;
			},
		);
		this.#writes.add(settled);
		return settled;
	}

	/** Acknowledges nothing more: whoever is connected comes back and sends again what is not stored. */
	#fail(error: unknown): void {
		if (!this.#open) return;
		this.close(closeCodes.storeTrouble, 'store trouble');
		this.#content.destroy();
		this.#ports.onStoreFailure(error);
	}
}
