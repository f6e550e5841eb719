import { fail, ok, type Result } from '@stillmast/core/result';
import type { Entry, FieldsOf } from '@stillmast/formats/entry';
import type { Scenario } from '@stillmast/formats/scenario';
import { blobHashesOf } from '@stillmast/record/file';
import { admitEntry } from '@stillmast/record/hash';
import { EntrySet } from '@stillmast/record/set';
import type { Store } from '@stillmast/relay';

const utf8 = new TextDecoder();

/** One record as a store keeps it. */
export interface KeptRecord {
	readonly set: EntrySet;
	/** Those that its entries rest on and that are here. */
	readonly blobs: ReadonlyMap<string, Uint8Array>;
}

/** The record of this id, or the only one whose id begins so. */
export async function findRecord(store: Store, wanted: string): Promise<Result<string>> {
	const records = await store.records();
	const found = records.filter((record) => record === wanted || record.startsWith(wanted));
	const [only] = found;
	if (only !== undefined && (found.length === 1 || records.includes(wanted))) {
		return ok(records.includes(wanted) ? wanted : only);
	}
	return fail({
		code: found.length === 0 ? 'no-such-record' : 'several-such-records',
		found: wanted,
		needed: records.length === 0 ? 'a record; none is kept here' : `one of ${records.join(', ')}`,
	});
}

/** Reads a record with its blobs; a row that is no sound entry is named, not passed over. */
export async function readRecord(store: Store, record: string): Promise<Result<KeptRecord>> {
	const { entries: rows } = await store.load(record);
	const entries: Entry[] = [];
	for (const row of rows) {
		const entry = admitEntry(JSON.parse(utf8.decode(row.json)));
		if (!entry.ok) return fail({ ...entry.problem, code: 'row-damaged', found: row.hash });
		entries.push(entry.value);
	}
	const blobs = new Map<string, Uint8Array>();
	for (const hash of new Set(entries.flatMap(blobHashesOf))) {
		const bytes = await store.getBlob(record, hash);
		if (bytes !== null) blobs.set(hash, bytes);
	}
	return ok({ set: new EntrySet(record, entries), blobs });
}

/** The oldest record here that this scenario was played into: same purpose, aircraft and opener; null when there is none. */
export async function playedRecordOf(
	store: Store,
	{ purpose, aircraft, devices }: Pick<Scenario, 'purpose' | 'aircraft' | 'devices'>,
): Promise<string | null> {
	for (const record of await store.records()) {
		const { entries } = await store.load(record);
		const row = entries.find(({ hash }) => hash === record);
		if (row === undefined) continue;
		const opened = JSON.parse(utf8.decode(row.json)) as Partial<FieldsOf<'opened'>>;
		const isSame =
			opened.purpose === purpose &&
			opened.aircraft?.registration === aircraft.registration &&
			opened.name === devices[0]?.name;
		if (isSame) return record;
	}
	return null;
}
