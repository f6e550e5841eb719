import type { Problem, Result } from '@stillmast/core/result';
import type { EntryOf, EntryProblem, FieldsOf, Kind, Pen, Role } from '@stillmast/formats/entry';
import type { RecordState } from '../../fold/state.js';
import type { PenKey } from '../../pen/pen-key.js';
import type { EntrySet } from '../../set/entry-set.js';
import type { Feed } from '../../wire/index.js';
import type { Circumstances } from '../../writer/chain-writer.js';
import type { LinkState, LinkTimes } from '../link/index.js';
import type { Cancel, ClockPort, DevicePort, NetworkPort, RandomPort, TabsPort } from '../ports.js';
import type { LocalStore } from '../store/index.js';
import type { SharedDraft } from './drafts.js';
import type { EntryPlace } from './places.js';

/** What the client runs on. `network` null: this record lives on this device only, for now. */
export interface ClientPorts {
	readonly clock: ClockPort;
	readonly random: RandomPort;
	readonly device: DevicePort;
	readonly store: LocalStore;
	readonly network: NetworkPort | null;
	/** Pages of the same origin that have this record open; leave out where there are none. */
	readonly tabs?: (record: string) => TabsPort;
	/** Name of this build, said to the host. */
	readonly build: string;
	readonly linkTimes?: LinkTimes;
}

/** Who writes in this session, and how the pen was taken up. */
export interface Hand {
	readonly key: PenKey;
	readonly unlocked: Pen['unlocked'];
}

export interface SessionCounts {
	readonly entries: number;
	/** Handed to the disk, no answer yet. */
	readonly beingKept: number;
	readonly notOnThisDevice: number;
	/** Here and not acknowledged by the host. */
	readonly notAtHost: number;
	/** Known to be stored at the host and not here yet. */
	readonly lacking: number;
	/** Set aside until an entry that names their key comes. */
	readonly waitingForKey: number;
}

export interface SessionStatus {
	readonly link: LinkState;
	/** All that the host had when this connection began is here. */
	readonly synced: boolean;
	/** Wall clock of the last sign of the host in this session or, before the first, in an earlier one. */
	readonly lastContactMs: number | null;
	/** Role as the host knows it; `null` before it said so. */
	readonly role: Role | null;
	readonly counts: SessionCounts;
	/** Newest last; `store-…` problems go away when the disk works again. */
	readonly problems: readonly Problem[];
}

/** `newer-format`: the record holds entries of a newer version, so this build only reads it. */
export type WriteProblem = EntryProblem | (Problem & { readonly code: 'session-closed' });

/** One record, open on this page. */
export interface Session {
	readonly record: string;
	/** Everything ever seen of the record; only the session adds to it. */
	readonly entries: EntrySet;
	/**
	 * What the entries amount to, by the rules of the record's card and type data once those are here; the same object
	 * until something changes.
	 */
	readonly state: RecordState;
	readonly status: SessionStatus;
	/**
	 * Writes an entry: signed and shown when the promise resolves, on its way to the disk and then to the host; where
	 * it has got to is `placeOf`.
	 */
	readonly write: <K extends Kind>(
		kind: K,
		fields: FieldsOf<K>,
		circumstances?: Circumstances,
	) => Promise<Result<EntryOf<K>, WriteProblem>>;
	/** Where an entry is known to be; `null` when it isn't here. */
	readonly placeOf: (hash: string) => EntryPlace | null;
	/** From here on somebody else writes, in a chain of their own. */
	readonly takePen: (hand: Hand) => void;
	/** Keeps a blob and offers it to the host; answers with its name. */
	readonly putBlob: (bytes: Uint8Array) => Promise<Result<string, Problem>>;
	/** From this device, else from the host; `null` when neither has it. */
	readonly blob: (hash: string) => Promise<Uint8Array | null>;
	/** Names of the blobs on this device. */
	readonly blobHashes: () => Promise<readonly string[]>;
	/** Takes entries from a file or another device; each is checked like any other. */
	readonly take: (
		values: readonly unknown[],
	) => Promise<{ readonly added: number; readonly refused: readonly Problem[] }>;
	readonly sendFeed: (feed: Omit<Feed, 'type'>) => void;
	readonly onFeed: (listener: (feed: Feed) => void) => Cancel;
	/**
	 * Takes part in the draft of a narrative: what people type together before one of them writes it down. Kept nowhere;
	 * `onText` is called when the text changed, by whomever. Goes to others while there is a link.
	 * @param subject of the narrative to be
	 */
	readonly openDraft: (subject: string, onText: (text: string) => void) => SharedDraft;
	/** Called after every change, several changes together; read `state` and `status` then. */
	readonly subscribe: (listener: () => void) => Cancel;
	/** Resolves when nothing written or received is waiting for the disk's answer. */
	readonly settled: () => Promise<void>;
	/** Connects now, also after the link has stopped. */
	readonly retry: () => void;
	readonly close: () => void;
}
