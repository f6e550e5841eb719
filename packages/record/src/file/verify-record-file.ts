import type { Entry, Purpose, Role } from '@stillmast/formats/entry';
import { fold } from '../fold/fold.js';
import { type FoldRules, rulesOfRecord } from '../fold/rules.js';
import type { Judged, RecordState } from '../fold/state.js';
import { prove } from '../proof/prove.js';
import { EntrySet } from '../set/entry-set.js';
import type { Signing } from '../signing/state.js';
import { type FileFault, readRecordFile } from './read-record-file.js';

/** Beside faults of the file's bytes: what its entries say of one another. */
export interface RecordFault {
	readonly code:
		| FileFault['code']
		| 'signature-wrong'
		| 'key-unknown'
		| 'chain-forked'
		| 'entry-apart'
		| 'entry-waits'
		| 'entries-missing'
		| 'signature-cover'
		| 'not-trusted';
	readonly entry?: FileFault['entry'];
	readonly path?: string;
	readonly offset?: number;
	readonly found?: unknown;
	readonly needed?: unknown;
}

export interface VerifyOptions {
	/** Default: by the card and type data in the file. */
	readonly rules?: FoldRules;
	/** Fingerprints; the creator's key, or that of a host that wrote in the record, must be among them. */
	readonly trust?: readonly string[];
}

export interface VerifyReport {
	/** Nothing is wrong: every byte, hash, chain, key and signature of every entry holds. */
	readonly whole: boolean;
	/** Whole, and signed by all roles asked for with nothing added since. */
	readonly signedAndWhole: boolean;
	/** In the order in which a reader meets them; the first is the one to tell. */
	readonly faults: readonly RecordFault[];
	/**
	 * Entries that are kept without counting (another's role, a key not enrolled …): no fault of the file, since a record
	 * keeps everything, but to be told.
	 */
	readonly notCounted: readonly Judged[];
	readonly record: string | null;
	readonly purpose: Purpose | null;
	readonly entries: number;
	readonly people: readonly {
		readonly key: string;
		readonly role: Role;
		readonly name: string;
		readonly creator: boolean;
	}[];
	readonly signing: Signing | null;
	/** The whole state, when the first entry is here. */
	readonly state: RecordState | null;
}

/**
 * Verifies a record file by itself, with nothing but its bytes: re-serialises and compares them, checks the digest,
 * every hash, every signature, chains, enrolment and what signatures cover. Never throws. @rule REC-82
 */
export async function verifyRecordFile(file: string | Uint8Array, options: VerifyOptions = {}): Promise<VerifyReport> {
	const read = readRecordFile(file);
	const faults: RecordFault[] = [...read.faults];
	if (read.record === null) return nothing(faults);
	const set = new EntrySet(read.record, read.entries);
	const places = new Map(read.entries.map((entry, index) => [entry.hash, describe(entry, index)]));
	const about = (hash: string) => ({ entry: places.get(hash), path: `$.entries[${places.get(hash)?.index}]` });
	const { unproved } = await prove(set, { every: true });
	for (const { hash, reason } of unproved) faults.push({ code: reason, ...about(hash) });
	const rules = options.rules ?? rulesOfRecord(set, (hash) => read.blobs.get(hash));
	const state = fold(set, { rules, unproved: new Set(unproved.map(({ hash }) => hash)) });
	const told = new Set(unproved.map(({ hash }) => hash));
	const notCounted = [...state.judged.values()].filter(
		({ judgement, entry }) => (judgement.state === 'apart' || judgement.state === 'waits') && !told.has(entry.hash),
	);
	for (const { entry, judgement } of notCounted) {
		const broken = judgement.state === 'apart' && ['wrong-chain', 'wrong-order'].includes(judgement.reason);
		if (broken) faults.push({ code: 'entry-apart', ...about(entry.hash), found: judgement.reason });
		if (judgement.state === 'waits' && judgement.for === 'chain') {
			faults.push({ code: 'entry-waits', ...about(entry.hash), found: judgement.for });
		}
	}
	for (const alarm of state.alarms)
		faults.push({ code: alarm.code, ...about(alarm.hashes[0] ?? ''), found: alarm.hashes });
	for (const { named, count, by } of state.waiting) {
		faults.push({ code: 'entries-missing', found: { by, count }, needed: named });
	}
	for (const { signatures } of state.signing.contents) {
		for (const { entry, cover } of signatures) {
			if (cover !== 'holds') faults.push({ code: 'signature-cover', ...about(entry.hash), found: cover });
		}
	}
	if (options.trust !== undefined) faults.push(...trustFaults(state, options.trust));
	const whole = faults.length === 0;
	return {
		whole,
		signedAndWhole: whole && state.signing.state === 'signed',
		faults,
		notCounted,
		record: read.record,
		purpose: state.purpose,
		entries: set.size,
		people: [...state.people.values()].map(({ key, role, name, creator }) => ({ key, role, name, creator })),
		signing: state.signing,
		state: state.opened === null ? null : state,
	};
}

function nothing(faults: readonly RecordFault[]): VerifyReport {
	const empty = { purpose: null, entries: 0, people: [], signing: null, state: null };
	return { whole: false, signedAndWhole: false, faults, notCounted: [], record: null, ...empty };
}

/** A public key can be named by anybody; only what a key has written here speaks for it. */
function trustFaults(state: RecordState, trust: readonly string[]): RecordFault[] {
	const wrote = new Set<string>();
	for (const { entry, judgement } of state.judged.values()) {
		const person = state.people.get(entry.by);
		const speaks = person?.creator === true || person?.role === 'host';
		if (speaks && (judgement.state === 'counts' || judgement.state === 'struck')) wrote.add(entry.by);
	}
	if (trust.some((key) => wrote.has(key))) return [];
	return [{ code: 'not-trusted', found: [...wrote], needed: trust }];
}

function describe(entry: Entry, index: number): NonNullable<FileFault['entry']> {
	const { hash, chain, seq, kind } = entry;
	return { index, hash, chain, seq, kind };
}
