import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import * as decoding from 'lib0/decoding';

/** Name of the one root of the document. */
export const ENTRIES_ROOT = 'entries';

/** `malformed`: not a V1 update. `not-an-entry-item`: a struct that is no single new value under `entries`. */
export interface UpdateProblem extends Problem {
	readonly code: 'malformed' | 'not-an-entry-item' | 'deletes';
	readonly path?: string;
}

/** One value set under a key of the root map. */
export interface SetItem {
	readonly key: string;
	readonly value: unknown;
}

export interface ReadUpdate {
	readonly items: readonly SetItem[];
	/** Ranges in the delete set. */
	readonly deletes: number;
	/** Where the delete set begins, in bytes. */
	readonly structsEnd: number;
}

/*
 * Of the V1 update encoding of Yjs 13 this reads only what a grow-only map of plain values needs, and takes nothing
 * else: per client a count, the client, a clock, then items. An item's first byte says its content and what follows:
 * 0x20 = a map key follows; no left (0x80) or right (0x40) neighbour, so the key was not set where it was written;
 * content 8 = values, 2 = JSON texts. Reading it here, not through the library's classes, means that bombs of other
 * structs are never built, and that bytes left over are seen.
 */
const WITH_KEY = 0x20;
const CONTENT_ANY = 8;
const CONTENT_JSON = 2;

/** Reads an update that only sets new keys of the root map to single values. Pure; never throws. */
export function readUpdate(update: Uint8Array): Result<ReadUpdate, UpdateProblem> {
	const input = decoding.createDecoder(update);
	const items: SetItem[] = [];
	try {
		const clients = decoding.readVarUint(input);
		for (let client = 0; client < clients; client++) {
			const structs = decoding.readVarUint(input);
			decoding.readVarUint(input);
			decoding.readVarUint(input);
			for (let i = 0; i < structs; i++) {
				const item = readItem(input);
				if (item === null) return fail({ code: 'not-an-entry-item', path: `$.structs[${items.length}]` });
				items.push(item);
			}
		}
		const structsEnd = input.pos;
		const deletes = readDeletes(input);
		return decoding.hasContent(input)
			? fail({ code: 'malformed', found: `${update.length - input.pos} bytes left over` })
			: ok({ items, deletes, structsEnd });
	} catch (error) {
		// A short buffer, a number out of range, text that isn't UTF-8, JSON that isn't, nesting beyond the stack.
		return fail({ code: 'malformed', found: error instanceof Error ? error.message : String(error) });
	}
}

function readItem(input: decoding.Decoder): SetItem | null {
	const info = decoding.readUint8(input);
	const content = info & 0x1f;
	if ((info & ~0x1f) !== WITH_KEY || (content !== CONTENT_ANY && content !== CONTENT_JSON)) return null;
	const parentIsRoot = decoding.readVarUint(input) === 1;
	if (!parentIsRoot || decoding.readVarString(input) !== ENTRIES_ROOT) return null;
	const key = decoding.readVarString(input);
	if (decoding.readVarUint(input) !== 1) return null;
	const value: unknown = content === CONTENT_ANY ? decoding.readAny(input) : JSON.parse(decoding.readVarString(input));
	return { key, value };
}

function readDeletes(input: decoding.Decoder): number {
	let ranges = 0;
	const clients = decoding.readVarUint(input);
	for (let client = 0; client < clients; client++) {
		decoding.readVarUint(input);
		const count = decoding.readVarUint(input);
		for (let i = 0; i < count; i++, ranges++) {
			decoding.readVarUint(input);
			decoding.readVarUint(input);
		}
	}
	return ranges;
}

/**
 * The same update with an empty delete set. Where two replicas set the same entry each on its own, Yjs marks one of the
 * two equal items deleted; every replica comes to that by itself, and deletes are never taken from the wire.
 */
export function withoutDeletes(update: Uint8Array): Result<Uint8Array, UpdateProblem> {
	const read = readUpdate(update);
	if (!read.ok) return read;
	if (read.value.deletes === 0) return ok(update);
	const bytes = new Uint8Array(read.value.structsEnd + 1);
	bytes.set(update.subarray(0, read.value.structsEnd));
	return ok(bytes);
}
