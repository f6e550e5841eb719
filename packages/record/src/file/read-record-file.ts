import type { Entry } from '@stillmast/formats/entry';
import { memberPath } from '@stillmast/formats/entry';
import { readJson } from '@stillmast/formats/json';
import { fromBase64url } from '../hash/base64url.js';
import { canonicalJson } from '../hash/canonical-json.js';
import { admitEntry, hashBytes, hashJson } from '../hash/hash-entry.js';
import { compareEntries } from '../set/order.js';
import { blobHashesOf } from './blob-hashes.js';
import { RECORD_FORMAT } from './export-record.js';

/** What is wrong with a file, and where: the entry if it is one's own fault, else JSON path, else byte offset. */
export interface FileFault {
	readonly code:
		| 'not-utf-8'
		| 'not-json'
		| 'not-a-record-file'
		| 'not-canonical'
		| 'digest-differs'
		| 'entry-unsound'
		| 'entry-foreign'
		| 'entry-order'
		| 'blob-unsound'
		| 'blob-spare'
		| 'blob-missing'
		| 'first-entry-missing';
	/** Place among the file's entries, from 0, with what the entry says of itself. */
	readonly entry?: {
		readonly index: number;
		readonly hash?: string;
		readonly chain?: string;
		readonly seq?: number;
		readonly kind?: string;
	};
	readonly path?: string;
	/** In bytes of UTF-8 from the start of the file. */
	readonly offset?: number;
	readonly found?: unknown;
	readonly needed?: unknown;
}

export interface ReadFile {
	/** Null when the file names none that could be read. */
	readonly record: string | null;
	/** Entries with a sound envelope and their own hash, of this record; those that are not are faults. */
	readonly entries: readonly Entry[];
	readonly blobs: ReadonlyMap<string, Uint8Array>;
	/** First those that a reader meets first; empty for a sound file. Signatures are judged elsewhere. */
	readonly faults: readonly FileFault[];
}

const MEMBERS = ['blobs', 'digest', 'entries', 'format', 'record'];

/** Reads a record file and finds every fault of its bytes, never throws. @rule REC-81 */
export function readRecordFile(file: string | Uint8Array): ReadFile {
	const decoded = typeof file === 'string' ? file : decode(file);
	if (typeof decoded !== 'string') return failed(decoded);
	const json = readJson(decoded);
	if (!json.ok) {
		const { path, line, column, found, needed } = json.problem;
		const offset = line === 1 && column !== undefined ? bytesBefore(decoded, column - 1) : undefined;
		return failed({ code: 'not-json', path, ...(offset === undefined ? {} : { offset }), found, needed });
	}
	const document = json.value;
	if (!isObject(document)) return failed({ code: 'not-a-record-file', path: '$', needed: 'an object' });
	const faults = [...shapeFaults(document)];
	const list = Array.isArray(document.entries) ? (document.entries as unknown[]) : [];
	const record = typeof document.record === 'string' ? document.record : null;
	const entries = readEntries(list, record, faults);
	const blobs = readBlobs(document.blobs, entries, faults);
	const differs = firstDifference(decoded, document, list);
	if (differs !== null) faults.unshift(differs);
	const { digest, ...content } = document;
	if (typeof digest === 'string' && canonical(content) !== null && hashJson(content) !== digest) {
		faults.push({ code: 'digest-differs', path: '$.digest', found: digest, needed: hashJson(content) });
	}
	return { record, entries, blobs, faults };
}

function failed(fault: FileFault): ReadFile {
	return { record: null, entries: [], blobs: new Map(), faults: [fault] };
}

function* shapeFaults(document: Readonly<Record<string, unknown>>): Iterable<FileFault> {
	const wrong = (path: string, found: unknown, needed: unknown): FileFault => ({
		code: 'not-a-record-file',
		path,
		found,
		needed,
	});
	for (const key of Object.keys(document)) {
		if (!MEMBERS.includes(key)) yield wrong(memberPath('$', key), 'spare', MEMBERS);
	}
	if (document.format !== RECORD_FORMAT) yield wrong('$.format', document.format, RECORD_FORMAT);
	if (typeof document.record !== 'string') yield wrong('$.record', typeof document.record, 'a record id');
	if (typeof document.digest !== 'string') yield wrong('$.digest', typeof document.digest, 'SHA-256 in base64url');
	if (!Array.isArray(document.entries)) yield wrong('$.entries', typeof document.entries, 'a list');
	if (!isObject(document.blobs)) yield wrong('$.blobs', typeof document.blobs, 'an object');
}

function readEntries(list: readonly unknown[], record: string | null, faults: FileFault[]): Entry[] {
	const entries: Entry[] = [];
	let before: Entry | undefined;
	for (const [index, value] of list.entries()) {
		const admitted = admitEntry(value);
		const about = { entry: describe(value, index), path: `$.entries[${index}]` };
		if (!admitted.ok) {
			const { code, path, found, needed } = admitted.problem;
			faults.push({
				code: 'entry-unsound',
				...about,
				path: about.path + (path ?? '$').slice(1),
				found: found ?? code,
				needed,
			});
			continue;
		}
		const entry = admitted.value;
		if ((entry.record ?? entry.hash) !== record) {
			faults.push({ code: 'entry-foreign', ...about, found: entry.record ?? entry.hash, needed: record });
			continue;
		}
		if (before !== undefined && compareEntries(before, entry) >= 0) faults.push({ code: 'entry-order', ...about });
		before = entry;
		entries.push(entry);
	}
	if (record !== null && !entries.some(({ hash }) => hash === record)) {
		faults.push({ code: 'first-entry-missing', path: '$.entries', needed: record });
	}
	return entries;
}

function readBlobs(value: unknown, entries: readonly Entry[], faults: FileFault[]): Map<string, Uint8Array> {
	const blobs = new Map<string, Uint8Array>();
	const needed = new Set(entries.flatMap(blobHashesOf));
	for (const [hash, text] of Object.entries(isObject(value) ? value : {})) {
		const path = memberPath('$.blobs', hash);
		const bytes = typeof text === 'string' ? fromBase64url(text) : null;
		if (bytes === null || !bytes.ok || hashBytes(bytes.value) !== hash) faults.push({ code: 'blob-unsound', path });
		else if (!needed.has(hash)) faults.push({ code: 'blob-spare', path });
		else blobs.set(hash, bytes.value);
	}
	for (const hash of [...needed].sort()) {
		if (!blobs.has(hash)) faults.push({ code: 'blob-missing', path: memberPath('$.blobs', hash) });
	}
	return blobs;
}

/** The first byte at which the file is not its own RFC 8785 form, and the entry that it lies in. */
function firstDifference(text: string, document: object, list: readonly unknown[]): FileFault | null {
	const expected = canonical(document);
	if (expected === text) return null;
	if (expected === null) return { code: 'not-canonical', path: '$' };
	let at = 0;
	while (at < text.length && text[at] === expected[at]) at++;
	const offset = bytesBefore(text, at);
	// Up to the difference both texts are the same, so the canonical lengths say which entry it lies in.
	let start =
		canonical({ blobs: Reflect.get(document, 'blobs') ?? {}, digest: Reflect.get(document, 'digest') })?.length ?? 0;
	start += ',"entries":['.length - 1;
	for (const [index, value] of list.entries()) {
		const length = canonical(value)?.length ?? 0;
		if (at >= start && at < start + length) {
			return { code: 'not-canonical', entry: describe(value, index), path: `$.entries[${index}]`, offset };
		}
		start += length + 1;
	}
	return { code: 'not-canonical', offset };
}

function canonical(value: unknown): string | null {
	try {
		return canonicalJson(value);
	} catch {
		return null;
	}
}

function describe(value: unknown, index: number): NonNullable<FileFault['entry']> {
	if (!isObject(value)) return { index };
	const { hash, chain, seq, kind } = value;
	return {
		index,
		...(typeof hash === 'string' ? { hash } : {}),
		...(typeof chain === 'string' ? { chain } : {}),
		...(typeof seq === 'number' ? { seq } : {}),
		...(typeof kind === 'string' ? { kind } : {}),
	};
}

/** No byte-order mark is taken away and nothing is put in place of what is not UTF-8: every byte counts. */
function decode(bytes: Uint8Array): string | FileFault {
	const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
	try {
		return decoder.decode(bytes);
	} catch {
		let low = 0;
		let high = bytes.length;
		while (low < high) {
			const middle = (low + high + 1) >>> 1;
			if (decodes(bytes.subarray(0, middle))) low = middle;
			else high = middle - 1;
		}
		return { code: 'not-utf-8', offset: low };
	}
}

/** A cut within a character is no fault of what comes before it. */
function decodes(bytes: Uint8Array): boolean {
	try {
		new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes, { stream: true });
		return true;
	} catch {
		return false;
	}
}

function bytesBefore(text: string, units: number): number {
	return new TextEncoder().encode(text.slice(0, units)).length;
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
	return typeof value === 'object' && value !== null && !Array.isArray(value);
}
