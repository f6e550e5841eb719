import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import * as v from 'valibot';
import {
	ENTRY_BYTES_MAX,
	ENTRY_DEPTH_MAX,
	ENTRY_VERSION,
	type Entry,
	envelopeEntries,
	envelopeSchema,
} from './envelope.js';
import { type Holds, holdsOf } from './holds.js';
import { isKind, type Kind, type KnownEntry, kindSchemas } from './kinds.js';
import { memberPath, type PlainJsonProblem, plainJson } from './plain-json.js';

/** `newer-format`: `v` is above ours. `wrong-envelope`, `wrong-fields`: `path` says where, `needed` what is allowed. */
export type EntryProblem =
	| PlainJsonProblem
	| (Problem & { readonly code: 'newer-format' | 'wrong-envelope' | 'wrong-fields'; readonly path: string });

/** What an entry's own fields are to this version. `newer`: a kind that this version does not know, kept as it is. */
export type FieldsRead =
	| { readonly state: 'known'; readonly entry: KnownEntry }
	| { readonly state: 'newer'; readonly kind: string }
	| { readonly state: 'wrong'; readonly problem: EntryProblem };

/**
 * Envelope of an entry: plain JSON of at most 16 KiB, every envelope field in its one allowed spelling. Neither the
 * hash nor the signature is computed here (`@stillmast/record`), nor are the kind's own fields judged (`readFields`):
 * an entry with wrong fields is kept and shown, so it must be able to travel.
 */
export function parseEnvelope(value: unknown): Result<Entry, EntryProblem> {
	const plain = plainJson(value, { bytesMax: ENTRY_BYTES_MAX, depthMax: ENTRY_DEPTH_MAX });
	if (!plain.ok) return plain;
	const version = typeof value === 'object' && value !== null && 'v' in value ? value.v : undefined;
	if (typeof version === 'number' && Number.isInteger(version) && version > ENTRY_VERSION) {
		return fail({ code: 'newer-format', path: '$.v', found: version, needed: ENTRY_VERSION });
	}
	if (!envelopeHolds(value)) {
		const parsed = v.safeParse(envelopeSchema, value, { abortEarly: true });
		if (!parsed.success) return fail(problemOf('wrong-envelope', parsed.issues[0]));
	}
	const entry = value as Entry;
	return structureProblem(entry) ?? ok(entry);
}

/**
 * Strict reading of one entry: envelope as `parseEnvelope`, and the fields of its kind, none missing, none spare.
 * An entry of an unknown kind is returned as it is.
 */
export function parseEntry(value: unknown): Result<Entry, EntryProblem> {
	const envelope = parseEnvelope(value);
	if (!envelope.ok) return envelope;
	const fields = readFields(envelope.value);
	return fields.state === 'wrong' ? fail(fields.problem) : envelope;
}

/** Judges the fields of an entry whose envelope is sound. */
export function readFields(entry: Entry): FieldsRead {
	if (!isKind(entry.kind)) return { state: 'newer', kind: entry.kind };
	if (fieldsHold(entry.kind)(entry)) return { state: 'known', entry: entry as unknown as KnownEntry };
	const fields: Record<string, unknown> = {};
	for (const [key, value] of Object.entries(entry)) if (!Object.hasOwn(envelopeEntries, key)) fields[key] = value;
	const problem = fieldsProblem(entry.kind, fields);
	return problem === null ? { state: 'known', entry: entry as unknown as KnownEntry } : { state: 'wrong', problem };
}

const envelopeHolds = holdsOf(envelopeSchema);
const fieldsHolding = new Map<Kind, Holds>();

/** Of a whole entry of this kind; made when the first comes. */
function fieldsHold(kind: Kind): Holds {
	const known = fieldsHolding.get(kind);
	if (known !== undefined) return known;
	const holds = holdsOf(kindSchemas[kind], envelopeEntries);
	fieldsHolding.set(kind, holds);
	return holds;
}

/** Judges the fields of a kind before there is an entry around them; null when they are sound. */
export function fieldsProblem(kind: Kind, fields: unknown): EntryProblem | null {
	const parsed = v.safeParse(kindSchemas[kind], fields, { abortEarly: true });
	return parsed.success ? listForObject(kind, fields as object) : problemOf('wrong-fields', parsed.issues[0]);
}

/** valibot takes a list for an object with numbered members; two spellings of one thing are not allowed here. */
function listForObject(kind: Kind, fields: object): EntryProblem | null {
	const schema = kindSchemas[kind];
	if (!('entries' in schema)) return null;
	for (const [key, value] of Object.entries(fields)) {
		if (!Array.isArray(value)) continue;
		const asked: unknown = Reflect.get(schema.entries, key);
		if (OBJECT_TYPES.includes(innerType(asked))) {
			return { code: 'wrong-fields', path: memberPath('$', key), found: 'Array', needed: 'Object' };
		}
	}
	return null;
}

const OBJECT_TYPES = ['record', 'strict_object'];

function innerType(schema: unknown): string {
	if (typeof schema !== 'object' || schema === null) return '';
	if ('wrapped' in schema) return innerType(schema.wrapped);
	return 'type' in schema && typeof schema.type === 'string' ? schema.type : '';
}

/** What must hold between envelope fields. */
function structureProblem(entry: Entry): Result<never, EntryProblem> | null {
	const wrong = (path: string, found: unknown, needed: unknown) =>
		fail({ code: 'wrong-envelope' as const, path, found, needed });
	const first = entry.seq === 1;
	if (first !== (entry.prev === null)) return wrong('$.prev', entry.prev, first ? null : 'hash of the entry before');
	if (first !== (entry.pen !== undefined)) {
		return wrong('$.pen', entry.pen ?? null, first ? 'pen of the chain' : 'in the first entry of a chain only');
	}
	if (entry.observed !== null && entry.observed.from > entry.observed.to) {
		return wrong('$.observed.to', entry.observed.to, 'not before observed.from');
	}
	if ((entry.kind === 'opened') !== (entry.record === null)) {
		return wrong('$.record', entry.record, entry.kind === 'opened' ? null : 'hash of the `opened` entry');
	}
	if (entry.kind === 'opened' && (!first || entry.n !== 1 || entry.seen.length > 0)) {
		return wrong('$.seq', entry.seq, 'the first entry of all');
	}
	return null;
}

function problemOf(code: 'wrong-envelope' | 'wrong-fields', issue: v.BaseIssue<unknown>): EntryProblem {
	let path = '$';
	for (const item of issue.path ?? []) {
		path = typeof item.key === 'number' ? `${path}[${item.key}]` : memberPath(path, String(item.key));
	}
	return { code, path, found: issue.received, needed: issue.expected ?? issue.message };
}
