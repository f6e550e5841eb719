import type { Entry } from '@stillmast/formats/entry';
import { canonicalJson } from '@stillmast/record/hash';
import type { EntryRow } from '../store/store.js';

const utf8 = new TextEncoder();
const strictUtf8 = new TextDecoder('utf-8', { fatal: true });

/** The row that keeps an entry. */
export function rowOf(entry: Entry): EntryRow {
	return rowOfText(entry, canonicalJson(entry));
}

/** The same where the RFC 8785 form of the entry is at hand. */
export function rowOfText({ hash, chain, seq, prev }: Entry, text: string): EntryRow {
	return { hash, chain, seq, prev, json: utf8.encode(text) };
}

/** The value that a row holds, to be admitted anew; undefined when its bytes are no JSON. */
export function rowValue(row: EntryRow): unknown {
	try {
		return JSON.parse(strictUtf8.decode(row.json));
	} catch {
		return undefined;
	}
}
