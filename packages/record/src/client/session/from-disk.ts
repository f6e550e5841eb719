import type { Problem } from '@stillmast/core/result';
import { blobHashesOf } from '../../file/blob-hashes.js';
import { Folding } from '../../fold/folding.js';
import { rulesOfRecord } from '../../fold/rules.js';
import type { RecordState } from '../../fold/state.js';
import { EntrySet } from '../../set/entry-set.js';
import type { EntryText, LocalStore } from '../store/index.js';
import { Intake } from './intake.js';

/** What the disk had of a record, checked again on the way in. */
export interface FromDisk {
	readonly set: EntrySet;
	readonly intake: Intake;
	readonly problems: readonly Problem[];
}

/** Takes everything that the disk has of a record; what reads badly or is refused stands in `problems`. */
export async function fromDisk(store: LocalStore, record: string): Promise<FromDisk> {
	const problems: Problem[] = [];
	const loaded = await store.loadEntries(record);
	if (!loaded.ok) problems.push(loaded.problem);
	else
		for (const { key, reason } of loaded.value.damaged)
			problems.push({ code: 'row-damaged', found: key, path: reason });
	const set = new EntrySet(record);
	const intake = new Intake(set);
	const taken = await intake.take(loaded.ok ? loaded.value.entries.map(parsedRow) : []);
	problems.push(...taken.refused);
	return { set, intake, problems };
}

/** A record as this device has it, read once: nothing is sent, kept or heard. */
export interface RecordAtRest {
	readonly state: RecordState;
	/** `null` when it isn't on this device. */
	readonly blob: (hash: string) => Promise<Uint8Array | null>;
}

/** Reads a record for a list or a glance. Whatever a session carries for writing and sending stays unloaded. */
export async function readAtRest(store: LocalStore, record: string): Promise<RecordAtRest> {
	const { set } = await fromDisk(store, record);
	const blob = async (hash: string) => {
		const found = await store.blob(record, hash);
		return found.ok ? found.value : null;
	};
	const opened = set.get(record);
	const named = opened === undefined ? [] : blobHashesOf(opened);
	const found = await Promise.all(named.map(blob));
	const isWhole = opened !== undefined && found.every((bytes) => bytes !== null);
	const rules = isWhole ? rulesOfRecord(set, (hash) => found[named.indexOf(hash)] ?? undefined) : undefined;
	return { state: new Folding(set, rules === undefined ? {} : { rules }).state(), blob };
}

/** A row's text that is no JSON is refused by the intake like anything else that is no entry. */
function parsedRow({ text }: EntryText): unknown {
	try {
		return JSON.parse(text);
	} catch {
		return null;
	}
}
