import {
	type Entry,
	type EntryOf,
	type FieldsRead,
	type Kind,
	type KnownEntry,
	readFields,
} from '@stillmast/formats/entry';
import { fingerprint } from '../hash/hash-entry.js';
import { continues } from '../proof/prove.js';
import type { EntrySet } from '../set/entry-set.js';
import { mayWrite } from '../wire/role-table.js';
import type { ApartReason, Judged, Judgement, Person } from './state.js';
import { readTrust, type Trust } from './trust.js';

export interface Judgements {
	/** In total order, by hash. */
	readonly judged: ReadonlyMap<string, Judged>;
	/** What counts and is not struck, in total order. */
	readonly counted: readonly KnownEntry[];
	readonly people: ReadonlyMap<string, Person>;
	readonly opened: EntryOf<'opened'> | null;
}

const COUNTS: Judgement = { state: 'counts' };
const apart = (reason: ApartReason): Judgement => ({ state: 'apart', reason });

/** Entries never change, so neither do their fields: read once, whatever the number of folds. */
const fieldsRead = new WeakMap<Entry, FieldsRead>();

/**
 * Judges every entry of a set: its place in its chain, proof, key, fields, role, strikes. Depends on the set alone.
 * @param unproved hashes that `prove` could not prove
 */
export function judge(set: EntrySet, unproved: ReadonlySet<string>): Judgements {
	const places = judgePlaces(set);
	const early = new Map<string, Judgement>();
	const sound: KnownEntry[] = [];
	for (const entry of set.inOrder()) {
		const verdict = places.get(entry.hash) ?? (unproved.has(entry.hash) ? apart('unproved') : judgeFields(entry));
		if (verdict.state === 'counts') sound.push(entry as unknown as KnownEntry);
		else early.set(entry.hash, verdict);
	}
	const first = sound.find((entry): entry is EntryOf<'opened'> => entry.kind === 'opened') ?? null;
	// Opened by a role that may not: then there is no creator, and nothing can ever count.
	const opened = first !== null && mayOpen(first) ? first : null;
	const trust = readTrust(set, {
		opened,
		enrolled: sound.filter((entry): entry is EntryOf<'enrolled'> => entry.kind === 'enrolled'),
		revoked: sound.filter((entry): entry is EntryOf<'revoked'> => entry.kind === 'revoked'),
	});
	const standing = new Map<string, KnownEntry>();
	for (const entry of sound) {
		const verdict = entry === first && opened === null ? apart('role') : judgeWriter(entry, set, trust, opened);
		if (verdict.state === 'counts') standing.set(entry.hash, entry);
		else early.set(entry.hash, verdict);
	}
	const strikes = readStrikes(standing);
	const judged = new Map<string, Judged>();
	const counted: KnownEntry[] = [];
	for (const entry of set.inOrder()) {
		const strike = strikes(entry.hash);
		const judgement = early.get(entry.hash) ?? (strike === null ? COUNTS : { state: 'struck' as const, strike });
		judged.set(entry.hash, { entry, judgement });
		if (judgement.state === 'counts') counted.push(entry as unknown as KnownEntry);
	}
	return { judged, counted, people: trust.people, opened };
}

/** Entries that cannot count for their place in chain and order; all others are absent from the map. @rule REC-10 */
function judgePlaces(set: EntrySet): Map<string, Judgement> {
	const verdicts = new Map<string, Judgement>();
	for (const chain of set.chains()) {
		// In order of seq the entry before has been judged already, if it is here and rightly numbered.
		for (const entry of set.chain(chain)) {
			const verdict = placeOf(entry, set, verdicts);
			if (verdict !== null) verdicts.set(entry.hash, verdict);
		}
	}
	return verdicts;
}

function placeOf(entry: Entry, set: EntrySet, verdicts: ReadonlyMap<string, Judgement>): Judgement | null {
	if (entry.prev === null) {
		if (entry.pen === undefined || fingerprint(entry.pen.publicKey) !== entry.by) return apart('wrong-chain');
	} else {
		const before = set.get(entry.prev);
		if (before === undefined) return { state: 'waits', for: 'chain' };
		if (!continues(before, entry)) return apart('wrong-chain');
		const verdict = verdicts.get(before.hash);
		// An entry of wrong order is itself apart, but the chain goes on through it.
		if (verdict?.state === 'waits' || (verdict?.state === 'apart' && verdict.reason === 'wrong-chain')) return verdict;
	}
	return hasRightOrder(entry, set) ? null : apart('wrong-order');
}

/** `n` = 1 + the greatest among `prev` and `seen`; judged when all of them are here. */
function hasRightOrder(entry: Entry, set: EntrySet): boolean {
	let greatest = 0;
	for (const hash of entry.prev === null ? entry.seen : [entry.prev, ...entry.seen]) {
		const before = set.get(hash);
		if (before === undefined) return true;
		greatest = Math.max(greatest, before.n);
	}
	return entry.n === greatest + 1;
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

/** @rule REC-31 key · @rule REC-40 role */
function judgeWriter(entry: KnownEntry, set: EntrySet, trust: Trust, opened: EntryOf<'opened'> | null): Judgement {
	const standing = trust.standing(entry);
	const person = trust.people.get(entry.by);
	if (standing === 'not-enrolled' || person === undefined || opened === null) {
		return { state: 'waits', for: 'enrolment' };
	}
	if (standing === 'revoked') return apart('revoked');
	if (entry.kind === 'enrolled' && trust.people.get(fingerprint(entry.publicKey))?.enrolledBy !== entry.hash) {
		// Who may not enrol is told so; who may, came second.
		if (person.creator || person.role === 'host') return apart('enrolled-before');
	}
	const target = targetOf(entry);
	const about = target === null ? undefined : set.get(target);
	if (target !== null && about === undefined) return { state: 'waits', for: 'reference' };
	const own = about?.by === entry.by;
	const reasoned = entry.kind !== 'strike' || entry.reason.trim() !== '';
	const allowed = mayWrite(person.role, entry.kind, {
		purpose: opened.purpose,
		creator: person.creator,
		own,
		reasoned,
	});
	if (!allowed || (entry.kind === 'strike' && about !== undefined && !mayBeStruck(about, own))) return apart('role');
	return COUNTS;
}

/** The entry by whose writer the role table judges this one. */
function targetOf(entry: KnownEntry): string | null {
	if (entry.kind === 'strike') return entry.target;
	return entry.kind === 'inspection' ? entry.adjustment : null;
}

const NEVER_STRUCK: readonly string[] = ['opened', 'enrolled', 'revoked'] satisfies Kind[];

/** What trust rests on is not struck but revoked; a signature is withdrawn by the key that made it. @rule REC-43 */
function mayBeStruck(target: Entry, own: boolean): boolean {
	return !NEVER_STRUCK.includes(target.kind) && (target.kind !== 'signature' || own);
}

/** @returns for a hash the strike in force against it: the first in total order that is not itself struck */
function readStrikes(standing: ReadonlyMap<string, KnownEntry>): (hash: string) => string | null {
	const against = new Map<string, string[]>();
	for (const entry of standing.values()) {
		if (entry.kind !== 'strike') continue;
		const list = against.get(entry.target);
		if (list === undefined) against.set(entry.target, [entry.hash]);
		else list.push(entry.hash);
	}
	// A strike names its target's hash, so strikes cannot name each other in a ring and this ends.
	const inForce = (hash: string): string | null => {
		for (const strike of against.get(hash) ?? []) if (inForce(strike) === null) return strike;
		return null;
	};
	return inForce;
}
