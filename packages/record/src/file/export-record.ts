import type { Entry } from '@stillmast/formats/entry';
import { toBase64url } from '../hash/base64url.js';
import { canonicalJson } from '../hash/canonical-json.js';
import { hashJson } from '../hash/hash-entry.js';
import type { EntrySet } from '../set/entry-set.js';
import { blobHashesOf } from './blob-hashes.js';

export const RECORD_FORMAT = 'stillmast/check@1';

/** A record file as JSON. */
export interface RecordFile {
	readonly format: typeof RECORD_FORMAT;
	readonly record: string;
	/** In total order. */
	readonly entries: readonly Entry[];
	/** Base64url by SHA-256; those that the entries rest on. */
	readonly blobs: Readonly<Record<string, string>>;
	/** SHA-256 of the RFC 8785 form of all the above. */
	readonly digest: string;
}

export interface Exported {
	/** The file: its own RFC 8785 form. */
	readonly text: string;
	/** Blobs that entries rest on and that `blob` did not have; the file then is not whole. Sorted. */
	readonly missingBlobs: readonly string[];
}

/**
 * The record file of a set. Two replicas with the same entries and blobs write the same bytes. @rule REC-80
 * @param blob gives a blob's bytes, or undefined where it is not here
 */
export function exportRecord(set: EntrySet, blob: (hash: string) => Uint8Array | undefined): Exported {
	const entries = set.inOrder();
	const blobs: Record<string, string> = {};
	const missingBlobs: string[] = [];
	for (const hash of [...new Set(entries.flatMap(blobHashesOf))].sort()) {
		const bytes = blob(hash);
		if (bytes === undefined) missingBlobs.push(hash);
		else blobs[hash] = toBase64url(bytes);
	}
	const content = { format: RECORD_FORMAT, record: set.record, entries, blobs } as const;
	return { text: canonicalJson({ ...content, digest: hashJson(content) }), missingBlobs };
}
