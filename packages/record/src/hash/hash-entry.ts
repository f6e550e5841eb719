import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { type Entry, type EntryProblem, parseEnvelope } from '@stillmast/formats/entry';
import { fromBase64url } from './base64url.js';
import { canonicalJson } from './canonical-json.js';
import { sha256Text } from './sha256.js';

/** SHA-256 of bytes, base64url. The name of a blob. */
export function hashBytes(bytes: Uint8Array): string {
	return sha256Text(bytes);
}

/** SHA-256 of the RFC 8785 text of a value, base64url. */
export function hashJson(value: unknown): string {
	return sha256Text(canonicalJson(value));
}

/** What `hash` of this entry must be: everything but `hash` and `sig`. @rule REC-2 */
export function hashEntry(entry: Omit<Entry, 'hash' | 'sig'>): string {
	const { hash: _hash, sig: _sig, ...content } = entry;
	return hashJson(content);
}

/** Fingerprint of a public key, as in `by`. @throws when `publicKey` is not base64url (judge it first) */
export function fingerprint(publicKey: string): string {
	const bytes = fromBase64url(publicKey);
	if (!bytes.ok) throw new TypeError('fingerprint: not base64url');
	return hashBytes(bytes.value);
}

/** `hash-differs`: `found` in the entry, `needed` computed. */
export type AdmitProblem = EntryProblem | (Problem & { readonly code: 'hash-differs' });

/** The door of every entry set: sound envelope and the hash that its content has. Signatures are `prove`'s. */
export function admitEntry(value: unknown): Result<Entry, AdmitProblem> {
	const envelope = parseEnvelope(value);
	if (!envelope.ok) return envelope;
	const needed = hashEntry(envelope.value);
	return needed === envelope.value.hash
		? ok(envelope.value)
		: fail({ code: 'hash-differs', path: '$.hash', found: envelope.value.hash, needed });
}
