import { pbkdf2Async } from '@noble/hashes/pbkdf2.js';
import { sha256 } from '@noble/hashes/sha2.js';
import type { EntryOf } from '@stillmast/formats/entry';
import type { EntrySet } from '../set/entry-set.js';
import { WORDS } from './list.js';

/**
 * Makes every guess slow: whoever stands in between would have to find, within the ten minutes of a code, a key of
 * theirs that gives the same words as the true one, out of about 2^29.
 */
const ROUNDS = 200_000;
const utf8 = new TextEncoder();

/** Three words that stand for a text: the same text, the same words, on every device and in every build. */
export async function threeWords(text: string): Promise<string> {
	const bits = await stretch(utf8.encode(text));
	// 64 bits over some 2^29 outcomes: what the division leaves uneven is far below anything that matters.
	let rest = new DataView(bits.buffer, bits.byteOffset, 8).getBigUint64(0);
	const base = BigInt(WORDS.length);
	const words: string[] = [];
	for (let count = 0; count < 3; count++) {
		words.push(WORDS[Number(rest % base)] ?? '');
		rest /= base;
	}
	return words.join(' ');
}

export interface JoinSeen {
	readonly record: string;
	/** Public key of the host, as this side knows it: said by the host when joining, or enrolled in the record. */
	readonly hostKey: string;
	/** Public key of whoever joined. */
	readonly publicKey: string;
}

/**
 * Words that are the same on the device that joined and for whoever let it in, when both mean the same record, the same
 * host and the same key. A host in between that puts a record, a host key or a pen of its own there shows other words
 * on one of the two. @rule RLY-52
 */
export function joinWords({ record, hostKey, publicKey }: JoinSeen): Promise<string> {
	return threeWords(`stillmast join v1\n${record}\n${hostKey}\n${publicKey}`);
}

/** The words for whoever let somebody in by the host's hand, from the entry that enrolled them; null for other enrolments. */
export async function enrolmentWords(set: EntrySet, enrolment: EntryOf<'enrolled'>): Promise<string | null> {
	const hostKey = set.publicKeyOf(enrolment.by);
	if (enrolment.invite === null || hostKey === undefined) return null;
	return joinWords({ record: set.record, hostKey, publicKey: enrolment.publicKey });
}

/** Words of a certificate, by the SHA-256 of its DER bytes in small hex digits. */
export function certificateWords(sha256Hex: string): Promise<string> {
	return threeWords(`stillmast certificate v1\n${sha256Hex.toLowerCase()}`);
}

/** By the platform where it may, since it is many times as quick; by the library where the page is not secure. */
async function stretch(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array> {
	const salt = utf8.encode('stillmast words v1');
	const { subtle } = globalThis.crypto ?? {};
	if (subtle === undefined) return pbkdf2Async(sha256, bytes, salt, { c: ROUNDS, dkLen: 8 });
	const key = await subtle.importKey('raw', bytes, 'PBKDF2', false, ['deriveBits']);
	const parameters = { name: 'PBKDF2', hash: 'SHA-256', salt, iterations: ROUNDS };
	return new Uint8Array(await subtle.deriveBits(parameters, key, 64));
}
