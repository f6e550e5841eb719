import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry } from '@stillmast/formats/entry';
import * as Y from 'yjs';
import { canonicalJson } from '../hash/canonical-json.js';
import { type AdmitProblem, admitEntry } from '../hash/hash-entry.js';
import { ENTRIES_ROOT, withoutDeletes } from './update.js';

/** What reached the document past every guard; the entries known before hold, whatever the document shows. */
export type CarrierAlarm =
	| { readonly code: 'entry-deleted' | 'entry-overwritten' | 'key-differs'; readonly key: string }
	| { readonly code: 'entry-unsound'; readonly key: string; readonly problem: AdmitProblem };

export interface Arrivals {
	readonly entries: readonly Entry[];
	readonly alarms: readonly CarrierAlarm[];
}

/** An empty document for one record. Nothing is ever collected from it: a peer that did would erase history. */
export function createCarrier(): Y.Doc {
	const doc = new Y.Doc({ gc: false });
	doc.getMap(ENTRIES_ROOT);
	return doc;
}

/**
 * Adds entries in one transaction; a key that is there is never set again.
 * @returns the entries that were not there
 */
export function addEntries(doc: Y.Doc, entries: Iterable<Entry>, origin: unknown = null): Entry[] {
	const map = doc.getMap(ENTRIES_ROOT);
	const fresh = [...new Map([...entries].map((entry) => [entry.hash, entry])).values()].filter(
		({ hash }) => !map.has(hash),
	);
	if (fresh.length === 0) return fresh;
	doc.transact(() => {
		for (const entry of fresh) map.set(entry.hash, entry);
	}, origin);
	return fresh;
}

/** Everything the document shows, admitted or alarmed. */
export function readEntries(doc: Y.Doc): Arrivals {
	const entries: Entry[] = [];
	const alarms: CarrierAlarm[] = [];
	for (const [key, value] of doc.getMap(ENTRIES_ROOT).entries()) take(key, value, entries, alarms);
	return { entries, alarms };
}

/**
 * Calls `listener` after every transaction that changed the map, with what is new and with alarms about what is known
 * here and was deleted or overwritten. Never throws into Yjs but what `listener` throws.
 * @returns a function that ends it
 */
export function observeEntries(doc: Y.Doc, listener: (arrivals: Arrivals, origin: unknown) => void): () => void {
	const map = doc.getMap(ENTRIES_ROOT);
	const observer = (event: Y.YMapEvent<unknown>, transaction: Y.Transaction) => {
		const entries: Entry[] = [];
		const alarms: CarrierAlarm[] = [];
		for (const [key, change] of event.changes.keys) {
			if (change.action === 'delete') alarms.push({ code: 'entry-deleted', key });
			else if (change.action === 'update') {
				// Two replicas set the same entry each on its own: equal content, nothing has happened.
				if (!sameJson(change.oldValue, map.get(key))) alarms.push({ code: 'entry-overwritten', key });
			} else take(key, map.get(key), entries, alarms);
		}
		if (entries.length > 0 || alarms.length > 0) listener({ entries, alarms }, transaction.origin);
	};
	map.observe(observer);
	return () => map.unobserve(observer);
}

/** What the document knows, for sync step 1. */
export function stateVector(doc: Y.Doc): Uint8Array {
	return Y.encodeStateVector(doc);
}

/**
 * What the other side lacks, for sync step 2: V1, without deletes, and without what this document holds back itself
 * because its parents are missing (Yjs would put those in with holes between them, which no guard lets through).
 */
export function missingUpdate(
	doc: Y.Doc,
	theirs?: Uint8Array,
): Result<Uint8Array, Problem & { readonly code: 'malformed' }> {
	const { store } = doc;
	const { pendingStructs, pendingDs } = store;
	store.pendingStructs = null;
	store.pendingDs = null;
	let update: Uint8Array;
	try {
		update = Y.encodeStateAsUpdate(doc, theirs);
	} catch (error) {
		return fail({ code: 'malformed', found: error instanceof Error ? error.message : String(error) });
	} finally {
		store.pendingStructs = pendingStructs;
		store.pendingDs = pendingDs;
	}
	const clean = withoutDeletes(update);
	// A document that took in something foreign still gives what it can; the other side guards itself.
	return ok(clean.ok ? clean.value : update);
}

/** These entries as an update of a document of their own: the bytes hold nothing that another update could contradict. */
export function updateOf(entries: Iterable<Entry>): Uint8Array {
	const doc = createCarrier();
	addEntries(doc, entries);
	const update = Y.encodeStateAsUpdate(doc);
	doc.destroy();
	return update;
}

/** Applies a guarded update. A throw inside leaves the document doubtful: drop it and build a new one. */
export function applyUpdate(
	doc: Y.Doc,
	update: Uint8Array,
	origin: unknown = null,
): Result<{ readonly waiting: boolean }, Problem & { readonly code: 'apply-failed' }> {
	try {
		Y.applyUpdate(doc, update, origin);
	} catch (error) {
		return fail({ code: 'apply-failed', found: error instanceof Error ? error.message : String(error) });
	}
	return ok({ waiting: isWaiting(doc) });
}

/** Does the document hold updates whose parents are missing? Then its map shows less than it was given. */
export function isWaiting(doc: Y.Doc): boolean {
	return doc.store.pendingStructs !== null || doc.store.pendingDs !== null;
}

function take(key: string, value: unknown, entries: Entry[], alarms: CarrierAlarm[]): void {
	const admitted = admitEntry(value);
	if (!admitted.ok) alarms.push({ code: 'entry-unsound', key, problem: admitted.problem });
	else if (admitted.value.hash !== key) alarms.push({ code: 'key-differs', key });
	else entries.push(admitted.value);
}

function sameJson(a: unknown, b: unknown): boolean {
	try {
		return canonicalJson(a) === canonicalJson(b);
	} catch {
		return false;
	}
}
