import {
	type Entry,
	type EntryOf,
	type FieldsRead,
	type Kind,
	type KnownEntry,
	readFields,
} from '@stillmast/formats/entry';
import { fingerprint } from '../hash/hash-entry.js';
import type { EntrySet } from '../set/entry-set.js';
import { compareEntries } from '../set/order.js';
import { mayWrite } from '../wire/role-table.js';
import { judgePlace } from './place.js';
import type { ApartReason, Judgement, Person } from './state.js';
import { readTrust, type Trust } from './trust.js';

const COUNTS: Judgement = { state: 'counts' };
const apart = (reason: ApartReason): Judgement => ({ state: 'apart', reason });

/** Entries never change, so neither do their fields: read once, whatever the number of folds. */
const fieldsRead = new WeakMap<Entry, FieldsRead>();

/** Kinds on which every other entry's judgement may rest. */
const TRUST_KINDS: readonly string[] = ['opened', 'enrolled', 'revoked'] satisfies Kind[];
/** What trust rests on is not struck but revoked. */
const NEVER_STRUCK = TRUST_KINDS;

/**
 * Judges every entry of a set: its place in its chain, proof, key, fields, role, strikes. Depends on the set alone.
 * More entries can be judged afterwards (`judgeMore`), as long as nothing judged before rests on them (`rests`).
 */
export class Judge {
	readonly opened: EntryOf<'opened'> | null;
	readonly #set: EntrySet;
	readonly #unproved: ReadonlySet<string>;
	readonly #first: EntryOf<'opened'> | null;
	readonly #trust: Trust;
	readonly #places = new Map<string, Judgement>();
	/** Why an entry does not stand; those not here stand, struck or not. */
	readonly #fallen = new Map<string, Judgement>();
	readonly #strikes = new Map<string, EntryOf<'strike'>[]>();
	/** Entries that wait for one that they refer to, by its hash. */
	readonly #awaiting = new Map<string, Entry[]>();

	/** @param unproved hashes that `prove` could not prove */
	constructor(set: EntrySet, unproved: ReadonlySet<string>) {
		this.#set = set;
		this.#unproved = unproved;
		const all = set.inOrder();
		this.#judgePlaces(all);
		const sound = all.filter((entry) => this.#isSound(entry)) as unknown as KnownEntry[];
		this.#first = sound.find((entry) => entry.kind === 'opened') ?? null;
		// Opened by a role that may not: then there is no creator, and nothing can ever count.
		this.opened = this.#first !== null && mayOpen(this.#first) ? this.#first : null;
		this.#trust = readTrust(set, {
			opened: this.opened,
			enrolled: sound.filter((entry) => entry.kind === 'enrolled'),
			revoked: sound.filter((entry) => entry.kind === 'revoked'),
		});
		for (const entry of sound) this.#stand(entry);
	}

	get people(): ReadonlyMap<string, Person> {
		return this.#trust.people;
	}

	/** Of an entry of the set that was judged. */
	judgementOf(hash: string): Judgement {
		const fallen = this.#fallen.get(hash);
		if (fallen !== undefined) return fallen;
		const strike = this.#strikeInForce(hash);
		return strike === null ? COUNTS : { state: 'struck', strike };
	}

	/** May judgements made before change when these come? Then a new judge is needed. */
	rests(entries: readonly Entry[]): boolean {
		return entries.some(
			({ kind, by }) => TRUST_KINDS.includes(kind) || (this.people.get(by)?.revokedBy.length ?? 0) > 0,
		);
	}

	/**
	 * Judges entries that have come since, none of which was missing before.
	 * @returns hashes of all entries whose judgement is new or may have changed
	 */
	judgeMore(entries: readonly Entry[]): ReadonlySet<string> {
		const changed = new Set<string>();
		this.#judgePlaces(entries);
		for (const entry of entries) this.#judgeOne(entry, changed);
		return changed;
	}

	#judgeOne(entry: Entry, changed: Set<string>): void {
		changed.add(entry.hash);
		if (this.#isSound(entry)) this.#stand(entry as unknown as KnownEntry);
		this.#spread(entry, changed);
		const awaiting = this.#awaiting.get(entry.hash) ?? [];
		this.#awaiting.delete(entry.hash);
		for (const waiting of awaiting) {
			this.#fallen.delete(waiting.hash);
			this.#judgeOne(waiting, changed);
		}
	}

	/** A strike changes what it strikes; if that is a strike, what that one struck, and so on. */
	#spread(entry: Entry, changed: Set<string>): void {
		const target = entry.kind === 'strike' ? entry.target : undefined;
		if (typeof target !== 'string' || !this.#set.has(target)) return;
		changed.add(target);
		const struck = this.#set.get(target);
		if (struck !== undefined) this.#spread(struck, changed);
	}

	/** Within a chain in order of seq, so that the entry before has been judged if it is here and rightly numbered. */
	#judgePlaces(entries: readonly Entry[]): void {
		const bySeq = [...entries].sort((a, b) => a.seq - b.seq);
		for (const entry of bySeq) {
			const verdict = judgePlace(entry, this.#set, this.#places);
			if (verdict !== null) this.#places.set(entry.hash, verdict);
		}
	}

	#isSound(entry: Entry): boolean {
		const verdict =
			this.#places.get(entry.hash) ?? (this.#unproved.has(entry.hash) ? apart('unproved') : judgeFields(entry));
		if (verdict.state !== 'counts') this.#fallen.set(entry.hash, verdict);
		return verdict.state === 'counts';
	}

	#stand(entry: KnownEntry): void {
		const verdict = entry === this.#first && this.opened === null ? apart('role') : this.#judgeWriter(entry);
		if (verdict.state !== 'counts') {
			this.#fallen.set(entry.hash, verdict);
			return;
		}
		if (entry.kind !== 'strike') return;
		const against = this.#strikes.get(entry.target);
		if (against === undefined) this.#strikes.set(entry.target, [entry]);
		else against.push(entry);
	}

	/** @rule REC-31 key · @rule REC-40 role */
	#judgeWriter(entry: KnownEntry): Judgement {
		const standing = this.#trust.standing(entry);
		const person = this.people.get(entry.by);
		if (standing === 'not-enrolled' || person === undefined || this.opened === null) {
			return { state: 'waits', for: 'enrolment' };
		}
		if (standing === 'revoked') return apart('revoked');
		if (entry.kind === 'enrolled' && this.people.get(fingerprint(entry.publicKey))?.enrolledBy !== entry.hash) {
			// Who may not enrol is told so; who may, came second.
			if (person.creator || person.role === 'host') return apart('enrolled-before');
		}
		const target = targetOf(entry);
		const about = target === null ? undefined : this.#set.get(target);
		if (target !== null && about === undefined) return this.#await(target, entry);
		const own = about?.by === entry.by;
		const reasoned = entry.kind !== 'strike' || entry.reason.trim() !== '';
		const { purpose } = this.opened;
		const allowed = mayWrite(person.role, entry.kind, { purpose, creator: person.creator, own, reasoned });
		if (!allowed || (entry.kind === 'strike' && about !== undefined && !mayBeStruck(about, own))) return apart('role');
		return COUNTS;
	}

	#await(target: string, entry: KnownEntry): Judgement {
		const awaiting = this.#awaiting.get(target) ?? [];
		this.#awaiting.set(target, [...awaiting, entry as unknown as Entry]);
		return { state: 'waits', for: 'reference' };
	}

	/** The first in total order that is not itself struck. A strike names a hash, so they form no ring and this ends. */
	#strikeInForce(hash: string): string | null {
		let first: EntryOf<'strike'> | null = null;
		for (const strike of this.#strikes.get(hash) ?? []) {
			if (this.#strikeInForce(strike.hash) !== null) continue;
			if (first === null || compareEntries(asEntry(strike), asEntry(first)) < 0) first = strike;
		}
		return first?.hash ?? null;
	}
}

function asEntry(entry: KnownEntry): Entry {
	return entry as unknown as Entry;
}

function judgeFields(entry: Entry): Judgement {
	const read = fieldsRead.get(entry) ?? readFields(entry);
	fieldsRead.set(entry, read);
	if (read.state === 'known') return COUNTS;
	return read.state === 'newer'
		? apart('newer-kind')
		: { state: 'apart', reason: 'wrong-fields', problem: read.problem };
}

/** @rule REC-41 */
function mayOpen({ role, purpose }: EntryOf<'opened'>): boolean {
	return mayWrite(role, 'opened', { purpose, creator: true, own: true, reasoned: true });
}

/** The entry by whose writer the role table judges this one. */
function targetOf(entry: KnownEntry): string | null {
	if (entry.kind === 'strike') return entry.target;
	return entry.kind === 'inspection' ? entry.adjustment : null;
}

/** A signature is withdrawn by the key that made it. @rule REC-43 */
function mayBeStruck(target: Entry, own: boolean): boolean {
	return !NEVER_STRUCK.includes(target.kind) && (target.kind !== 'signature' || own);
}
