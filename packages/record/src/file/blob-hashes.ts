import { BYTES_32, type Entry, type JsonValue } from '@stillmast/formats/entry';

/** Blobs that an entry rests on: card and type data, trace chunks, attachments, a solver's input. Sound hashes only. */
export function blobHashesOf(entry: Entry): string[] {
	const named: unknown[] = [];
	if (entry.kind === 'opened') named.push(entry.card, entry.typeData);
	if (entry.kind === 'trace') named.push(...listOf(entry.chunks));
	if (entry.kind === 'proposal') named.push(memberOf(entry.solver, 'input'));
	for (const attachment of listOf(entry.attachments)) named.push(memberOf(attachment, 'blob'));
	return named.filter((hash): hash is string => typeof hash === 'string' && BYTES_32.test(hash));
}

function listOf(value: JsonValue | undefined): readonly JsonValue[] {
	return Array.isArray(value) ? value : [];
}

function memberOf(value: JsonValue | undefined, key: string): unknown {
	return typeof value === 'object' && value !== null && key in value ? Reflect.get(value, key) : undefined;
}
