import { fail, type Problem, type Result } from '@stillmast/core/result';
import type { Entry, EntryOf, FieldsOf, Kind } from '@stillmast/formats/entry';
import { Folding } from '../../fold/folding.js';
import type { RecordState } from '../../fold/state.js';
import { canonicalJson } from '../../hash/canonical-json.js';
import type { EntrySet } from '../../set/entry-set.js';
import type { Feed } from '../../wire/index.js';
import { ChainWriter, type Circumstances, type WriterOptions } from '../../writer/chain-writer.js';
import type { AccessProblem } from '../link/index.js';
import { listeners } from '../listeners.js';
import type { Cancel, TabsPort } from '../ports.js';
import { Blobs } from './blobs.js';
import { Conversation } from './conversation.js';
import { Drafts, type SharedDraft } from './drafts.js';
import { gather } from './gather.js';
import type { HostClock } from './host-clock.js';
import type { Intake } from './intake.js';
import { type Keeper, keeper } from './keeper.js';
import { type EntryPlace, Places } from './places.js';
import { Problems } from './problems.js';
import { RecordRules } from './record-rules.js';
import { readStatus } from './status.js';
import type { ClientPorts, Hand, Session, SessionStatus, WriteProblem } from './types.js';

export interface SessionParts {
	readonly ports: ClientPorts;
	readonly set: EntrySet;
	readonly intake: Intake;
	readonly hand: Hand;
	readonly hostClock: HostClock;
	/** Found wrong while loading. */
	readonly problems: readonly Problem[];
	/** When the host was last heard of in an earlier session. */
	readonly lastContactMs: number | null;
	readonly bringRecord: (session: Session) => Promise<Result<void, AccessProblem>>;
	/** What the host has said is worth remembering over a reload. */
	readonly remember: (session: LiveSession) => void;
}

/** How this page's chains are written, whoever writes. */
export function writerOptions({ clock, random }: ClientPorts, { key, unlocked }: Hand, host: HostClock): WriterOptions {
	return { key, unlocked, random, clock: { nowMs: clock.nowMs, upMs: clock.monotonicMs, clock: host.reading } };
}

/**
 * The session of one page on one record. Its order of work is always the same: an entry is hashed and signed, then
 * handed to the disk, and only when the disk has answered does it enter the document and leave for the host.
 */
export class LiveSession implements Session {
	readonly record: string;
	readonly entries: EntrySet;
	readonly places: Places;
	readonly #parts: SessionParts;
	readonly #writers: ChainWriter[];
	readonly #keeper: Keeper;
	readonly #blobs: Blobs;
	readonly #rules: RecordRules;
	readonly #conversation: Conversation | null = null;
	readonly #drafts: Drafts;
	readonly #tabs: TabsPort | null;
	readonly #problems = new Problems();
	readonly #listeners = listeners<void>();
	readonly #feedListeners = listeners<Feed>();
	readonly #keeping = new Set<Promise<unknown>>();
	readonly #cancelEmptied: Cancel;
	#leaving: Promise<unknown> = Promise.resolve();
	readonly #announce = gather(() => this.#listeners.tell());
	#folding: Folding;
	#status: SessionStatus | null = null;
	#newerFormat: Problem | null = null;
	#closed = false;

	/** @param opening the chain that has just opened the record, to go on with */
	constructor(parts: SessionParts, opening?: ChainWriter) {
		const { ports, set, hand } = parts;
		const { clock, store, network } = ports;
		this.#parts = parts;
		this.entries = set;
		this.record = set.record;
		this.places = new Places(set);
		this.#folding = new Folding(set);
		this.#writers = [opening ?? this.#newWriter(hand)];
		this.#keeper = keeper(store, clock, this.record, (hashes) => this.#kept(hashes));
		this.#blobs = new Blobs(store, clock, this.record, {
			send: (message) => this.#conversation?.room.send(message),
			listens: () => ['asking', 'opening', 'open'].includes(this.#conversation?.link.state ?? 'closed'),
		});
		this.#rules = new RecordRules(set, this.#blobs, () => {
			this.#folding = new Folding(set, { rules: this.#rules.current });
			this.#touch();
		});
		for (const problem of parts.problems) this.#problems.add(problem);
		this.#cancelEmptied = store.onEmptied(() => this.#keepAnew());
		this.#tabs = ports.tabs?.(this.record) ?? null;
		this.#tabs?.onMessage((message) => this.#hearTab(message));
		void this.#rules.learn();
		if (network === null) {
			this.#drafts = new Drafts(() => false);
			return;
		}
		this.#conversation = new Conversation({
			ports: { ...ports, network },
			key: hand.key,
			entries: set,
			places: this.places,
			blobs: this.#blobs,
			hostClock: parts.hostClock,
			isOwn: ({ chain }) => this.#writers.some((writer) => writer.chain === chain),
			take: (values) => this.take(values),
			bringRecord: () => parts.bringRecord(this),
			onFeed: this.#feedListeners.tell,
			onProblem: (problem) => this.#report(problem),
			onChange: () => this.#touch(),
			onSynced: () => void this.#rules.learn(),
			onDown: () => parts.remember(this),
		});
		this.#drafts = this.#conversation.drafts;
	}

	get state(): RecordState {
		return this.#folding.state();
	}

	get status(): SessionStatus {
		this.#status ??= readStatus({
			entries: this.entries,
			places: this.places,
			intake: this.#parts.intake,
			conversation: this.#conversation,
			lastContactMs: this.#parts.lastContactMs,
			problems: this.#problems.list,
			storeProblem: this.#keeper.problem(),
		});
		return this.#status;
	}

	async write<K extends Kind>(
		kind: K,
		fields: FieldsOf<K>,
		circumstances?: Circumstances,
	): Promise<Result<EntryOf<K>, WriteProblem>> {
		if (this.#closed) return fail({ code: 'session-closed' });
		if (this.#newerFormat) return fail({ code: 'newer-format', path: '$.v', found: this.#newerFormat.found });
		const writer = this.#writers.at(-1) as ChainWriter;
		const written = await writer.write(kind, fields, circumstances);
		if (written.ok) this.sendOff(written.value as unknown as Entry);
		return written;
	}

	/** The order of work after signing; entries leave in the order in which they were written. @rule DEV-2 */
	sendOff(entry: Entry): void {
		const kept = this.#keep([entry]);
		this.#leaving = this.#leaving
			.then(() => kept)
			.then(() => {
				// after closing it is on the disk or lost with the page; an entry that could not be kept still goes out
				if (this.#closed) return;
				this.#conversation?.add(entry);
				this.#tabs?.post({ entries: [entry] });
				this.#touch();
			});
		this.#pending(this.#leaving);
	}

	/** Entries from the host, another page or a file: all by the same door. */
	async take(values: readonly unknown[]): Promise<{ readonly added: number; readonly refused: readonly Problem[] }> {
		const { added, refused } = await this.#parts.intake.take(values);
		for (const problem of refused) this.#report(problem);
		if (added.length > 0) void this.#keep(added);
		if (added.some(({ hash }) => hash === this.record)) void this.#rules.learn();
		return { added: added.length, refused };
	}

	placeOf(hash: string): EntryPlace | null {
		const entry = this.entries.get(hash);
		return entry ? this.places.placeOf(entry, new Set(this.#writers.map((writer) => writer.key.fingerprint))) : null;
	}

	takePen(hand: Hand): void {
		this.#writers.push(this.#newWriter(hand));
	}

	putBlob(bytes: Uint8Array): Promise<Result<string, Problem>> {
		return this.#blobs.put(bytes);
	}

	blob(hash: string): Promise<Uint8Array | null> {
		return this.#blobs.get(hash);
	}

	blobHashes(): Promise<readonly string[]> {
		return this.#blobs.hashes();
	}

	sendFeed(feed: Omit<Feed, 'type'>): void {
		this.#conversation?.sendFeed(feed);
	}

	onFeed(listener: (feed: Feed) => void): Cancel {
		return this.#feedListeners.add(listener);
	}

	openDraft(subject: string, onText: (text: string) => void): SharedDraft {
		return this.#drafts.open(subject, onText);
	}

	subscribe(listener: () => void): Cancel {
		return this.#listeners.add(listener);
	}

	async settled(): Promise<void> {
		await this.#parts.intake.take([]);
		while (this.#keeping.size > 0) await Promise.allSettled([...this.#keeping]);
	}

	retry(): void {
		this.#conversation?.retry();
	}

	close(): void {
		if (this.#closed) return;
		this.#closed = true;
		this.#parts.remember(this);
		this.#conversation?.close();
		this.#drafts.close();
		this.#cancelEmptied();
		this.#keeper.close();
		this.#blobs.close();
		this.#tabs?.close();
		this.#listeners.clear();
		this.#feedListeners.clear();
	}

	/** Shows entries as being kept and hands them to the disk, all in one transaction. */
	#keep(entries: readonly Entry[]): Promise<void> {
		for (const entry of entries) {
			this.places.arrived(entry);
			this.places.setKeeping(entry.hash, 'being-kept');
		}
		this.#touch();
		const texts = entries.map((entry) => ({ hash: entry.hash, text: canonicalJson(entry) }));
		const keeping = this.#keeper.keep(texts).then((kept) => {
			if (kept === 'kept') return;
			for (const { hash } of entries) this.places.setKeeping(hash, 'not-on-this-device');
			this.#touch();
		});
		this.#pending(keeping);
		return keeping;
	}

	/** Everything that was on this device is gone from its disk: what this page still has is kept once more. */
	#keepAnew(): void {
		this.#report({ code: 'store-emptied' });
		this.#parts.remember(this);
		void this.#keep(this.entries.inOrder());
	}

	#kept(hashes: readonly string[]): void {
		for (const hash of hashes) this.places.setKeeping(hash, 'on-this-device');
		this.#touch();
	}

	#pending(work: Promise<unknown>): void {
		this.#keeping.add(work);
		void work.finally(() => this.#keeping.delete(work));
	}

	#hearTab(message: unknown): void {
		const entries = typeof message === 'object' && message !== null && (message as { entries?: unknown }).entries;
		if (Array.isArray(entries)) void this.take(entries);
	}

	#newWriter(hand: Hand): ChainWriter {
		return new ChainWriter(this.entries, writerOptions(this.#parts.ports, hand, this.#parts.hostClock));
	}

	#report(problem: Problem): void {
		if (problem.code === 'newer-format') this.#newerFormat = problem;
		this.#problems.add(problem);
		this.#touch();
	}

	#touch(): void {
		this.#status = null;
		this.#announce();
	}
}
