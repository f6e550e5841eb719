import { crc32 } from './crc32.js';
import type { DamagedRow, EntryText } from './types.js';

/** An entry's row on disk. */
export interface EntryRow {
	readonly record: string;
	readonly hash: string;
	readonly bytes: Uint8Array;
	readonly crc: number;
}

/** A blob's row on disk. */
export interface BlobRow extends EntryRow {}

const encoder = new TextEncoder();
const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** The key is part of the checksum: a row filed under another hash is as bad as an altered one. */
function rowCrc(hash: string, bytes: Uint8Array): number {
	return (crc32(encoder.encode(hash)) ^ crc32(bytes)) >>> 0;
}

export function entryRow(record: string, entry: EntryText): EntryRow {
	return blobRow(record, entry.hash, encoder.encode(entry.text));
}

export function blobRow(record: string, hash: string, bytes: Uint8Array): BlobRow {
	return { record, hash, bytes, crc: rowCrc(hash, bytes) };
}

/** The row's bytes when it reads as it was written, else why not. */
export function readRow(row: unknown): Uint8Array | DamagedRow['reason'] {
	if (typeof row !== 'object' || row === null) return 'shape';
	const { hash, bytes, crc } = row as Partial<Record<keyof EntryRow, unknown>>;
	if (typeof hash !== 'string' || !(bytes instanceof Uint8Array) || typeof crc !== 'number') return 'shape';
	return rowCrc(hash, bytes) === crc ? bytes : 'checksum';
}

/** The entry of a row when it reads as it was written, else why not. */
export function readEntryRow(row: unknown): EntryText | DamagedRow['reason'] {
	const bytes = readRow(row);
	if (typeof bytes === 'string') return bytes;
	try {
		return { hash: (row as EntryRow).hash, text: decoder.decode(bytes) };
	} catch {
		return 'shape';
	}
}

/** A row's hash for naming it in a report, even when the row is damaged. */
export function rowName(row: unknown): string {
	const hash = typeof row === 'object' && row !== null ? (row as { hash?: unknown }).hash : undefined;
	return typeof hash === 'string' ? hash : 'unnamed';
}
