import type { Entry, EntryOf, EntryProblem, Kind, Purpose, Role } from '@stillmast/formats/entry';
import type { ForkAlarm } from '../set/entry-set.js';
import type { Signing } from '../signing/state.js';

/**
 * Why an entry is kept and shown but never counted. `newer-kind`: made by a newer version · `wrong-fields` ·
 * `wrong-chain`: it, or an entry before it in its chain, does not continue the one before · `wrong-order`: `n` is not
 * what its own links make it · `unproved`: no signature holds · `role`: this role may not write this ·
 * `revoked`: written after what was known when its key was revoked · `enrolled-before`: the key has a role already.
 */
export type ApartReason =
	| 'newer-kind'
	| 'wrong-fields'
	| 'wrong-chain'
	| 'wrong-order'
	| 'unproved'
	| 'role'
	| 'revoked'
	| 'enrolled-before';

/** What an entry waits for: its key's enrolment, an entry before it in its chain, or an entry that it refers to. */
export type WaitsFor = 'enrolment' | 'chain' | 'reference';

export type Judgement =
	| { readonly state: 'counts' }
	/** Counted until struck through; `strike` is the entry that did it. */
	| { readonly state: 'struck'; readonly strike: string }
	| { readonly state: 'waits'; readonly for: WaitsFor }
	| { readonly state: 'apart'; readonly reason: ApartReason; readonly problem?: EntryProblem };

export interface Judged {
	readonly entry: Entry;
	readonly judgement: Judgement;
}

export interface Person {
	/** Fingerprint of the key: `by` in entries. */
	readonly key: string;
	readonly publicKey: string;
	readonly role: Role;
	readonly name: string;
	readonly creator: boolean;
	/** The entry that enrolled the key; for the creator, `opened`. */
	readonly enrolledBy: string;
	/** The entries that revoked the key, in total order; empty while it holds. */
	readonly revokedBy: readonly string[];
}

/**
 * Entries of one subject. `one`: there is one, or several that say the same · `agreed`: they differ and an agreement
 * that knew them all chose · `differ`: they differ, nothing is decided, all are shown.
 */
export interface Settled<K extends Kind> {
	readonly state: 'one' | 'agreed' | 'differ';
	/** What stands, in total order; at least one. */
	readonly entries: readonly EntryOf<K>[];
	/** The one that holds; null while they differ. */
	readonly holds: EntryOf<K> | null;
	/** The agreement in force. */
	readonly agree: EntryOf<'agree'> | null;
}

/** All readings of one field in one run, none replaced by another but by striking. */
export interface ReadingGroup extends Settled<'reading'> {
	readonly flight: number;
	readonly run: number | null;
	readonly subject: string;
}

export interface VibrationGroup extends Settled<'vibration'> {
	readonly flight: number;
	readonly run: number;
	readonly rotor: string;
	readonly channel: string;
}

export interface FlightState {
	readonly flight: number;
	readonly opened: Settled<'flight'> | null;
	readonly closed: Settled<'flight'> | null;
	/** By step id. */
	readonly steps: ReadonlyMap<string, Settled<'step'>>;
	readonly runs: readonly RunState[];
}

export interface RunState {
	readonly flight: number;
	readonly run: number;
	readonly begun: Settled<'run'> | null;
	readonly ended: Settled<'run'> | null;
	/** By regime; the empty id for the whole run. */
	readonly contexts: ReadonlyMap<string, Settled<'run'>>;
	/** Rotors for which it was taken out of learning, each with the entry that says so. */
	readonly excluded: ReadonlyMap<string, EntryOf<'use'>>;
}

/** One adjuster's setting on the aircraft. */
export interface SettingState {
	readonly adjuster: string;
	/** Null while entries that do not know each other say different values. */
	readonly value: number | null;
	/** Values said, of the newest ground time that says any. */
	readonly values: readonly number[];
	/** Flight after which it was last said. */
	readonly after: number;
	/** Read off the aircraft (found or measured), not only made. */
	readonly measured: boolean;
	readonly entries: readonly string[];
}

export interface RotorState {
	readonly rotor: string;
	/** In force now, by adjuster. */
	readonly settings: ReadonlyMap<string, SettingState>;
	/** By adjuster, what was said at each ground time, in order of `after`: flight f was flown with the last before f. */
	readonly history: ReadonlyMap<string, readonly SettingState[]>;
	/** Meant for the newest ground time, not said to be made. */
	readonly planned: ReadonlyMap<string, SettingState>;
	/** Made on flight controls and not yet inspected by another pen: hashes of adjustments. */
	readonly inspectionsOpen: readonly string[];
}

/** A result that no longer holds, since something it depends on was changed after it was measured. */
export interface MeasureAgain {
	/** `vibration/<rotor>/<channel>`, or a reading's subject. */
	readonly result: string;
	readonly flight: number;
	/** The adjustments that made it stale. */
	readonly because: readonly string[];
}

/** All that was said about one parameter in one flight. */
export interface LimitEvidence {
	readonly flight: number;
	readonly parameter: string;
	readonly witnesses: readonly EntryOf<'witness'>[];
	readonly memories: readonly EntryOf<'memory'>[];
	/** Newest by causality; several if they do not know each other. */
	readonly decisions: readonly EntryOf<'decision'>[];
}

/** Entries known to exist that are not here. */
export interface Waiting {
	/** Key whose entries they are; null when only their hashes are known. */
	readonly by: string | null;
	readonly count: number;
	/** Hashes of those that are named. */
	readonly named: readonly string[];
}

export interface RecordState {
	readonly record: string;
	/** Null until the first entry is here; then nothing counts yet. */
	readonly opened: EntryOf<'opened'> | null;
	readonly purpose: Purpose | null;
	/** By key, in order of enrolment. */
	readonly people: ReadonlyMap<string, Person>;
	/** Every entry with its judgement, in total order. */
	readonly judged: ReadonlyMap<string, Judged>;
	readonly alarms: readonly ForkAlarm[];
	readonly waiting: readonly Waiting[];
	/** What counts and is not struck, by kind, in total order. */
	readonly of: { readonly [K in Kind]: readonly EntryOf<K>[] };
	/** By field id. */
	readonly header: ReadonlyMap<string, Settled<'header'>>;
	/** In order of number. */
	readonly flights: readonly FlightState[];
	readonly readings: readonly ReadingGroup[];
	readonly vibrations: readonly VibrationGroup[];
	/** By rotor id. */
	readonly rotors: ReadonlyMap<string, RotorState>;
	readonly measureAgain: readonly MeasureAgain[];
	readonly limits: readonly LimitEvidence[];
	/** By subject: those that no other replaces. */
	readonly narratives: ReadonlyMap<string, readonly EntryOf<'narrative'>[]>;
	/** By hash of the entry answered. */
	readonly replies: ReadonlyMap<string, readonly EntryOf<'reply'>[]>;
	/** By flight and item, `2/<item>`. */
	readonly reviews: ReadonlyMap<string, Settled<'review'>>;
	/** Everything that stands side by side and needs agreeing: the entries of each subject. */
	readonly toAgree: readonly Settled<Kind>[];
	readonly signing: Signing;
}
