import { hmac } from '@noble/hashes/hmac.js';
import { pbkdf2 } from '@noble/hashes/pbkdf2.js';
import { sha256 } from '@noble/hashes/sha2.js';
import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { fromBase64url, toBase64url } from '../hash/base64url.js';
import type { KeptKey, Random } from './pen-key.js';

/** By which a code is known again; the code itself is kept nowhere. */
export interface CodeLock {
	readonly salt: string;
	readonly rounds: number;
	readonly check: string;
}

/**
 * A pen's key as it is kept between uses. A key that cannot leave the key store is only shown the door by the code; a
 * software key is unreadable without it. A short code stops the next person at the tablet, not a program that tries
 * them all: for that there is the lock of the device, and revocation.
 */
export type LockedKey =
	| {
			readonly keeping: 'non-extractable';
			readonly publicKey: string;
			readonly privateKey: CryptoKey;
			readonly lock: CodeLock;
	  }
	| {
			readonly keeping: 'extractable';
			readonly publicKey: string;
			readonly sealed: Uint8Array;
			readonly lock: CodeLock;
	  };

/** Common practice for PBKDF2 with SHA-256; about a tenth of a second on a tablet by WebCrypto. */
const ROUNDS = 300_000;
const ROUNDS_MAX = 10_000_000;
const SALT_BYTES = 16;

const utf8 = new TextEncoder();

/** @param rounds fewer only in tests */
export async function lockKey(kept: KeptKey, code: string, random: Random, rounds = ROUNDS): Promise<LockedKey> {
	const salt = random(SALT_BYTES);
	const derived = await derive(code, salt, rounds);
	const lock = { salt: toBase64url(salt), rounds, check: toBase64url(checkOf(derived)) };
	const { publicKey } = kept;
	return kept.keeping === 'non-extractable'
		? { keeping: kept.keeping, publicKey, privateKey: kept.privateKey, lock }
		: { keeping: kept.keeping, publicKey, sealed: xor(kept.secret, padOf(derived)), lock };
}

/** @returns the key, or `code-wrong`; `lock-damaged` when what is kept is no lock. @rule REC-14 */
export async function unlockKey(
	locked: LockedKey,
	code: string,
): Promise<Result<KeptKey, Problem & { readonly code: 'code-wrong' | 'lock-damaged' }>> {
	const { salt, rounds, check } = locked.lock;
	const saltBytes = fromBase64url(salt);
	const sound = saltBytes.ok && Number.isSafeInteger(rounds) && rounds > 0 && rounds <= ROUNDS_MAX;
	if (!sound) return fail({ code: 'lock-damaged', found: { salt, rounds } });
	const derived = await derive(code, saltBytes.value, rounds);
	if (toBase64url(checkOf(derived)) !== check) return fail({ code: 'code-wrong' });
	const { publicKey } = locked;
	return ok(
		locked.keeping === 'non-extractable'
			? { keeping: locked.keeping, publicKey, privateKey: locked.privateKey }
			: { keeping: locked.keeping, publicKey, secret: xor(locked.sealed, padOf(derived)) },
	);
}

/** One word for each use, so that the check says nothing about the pad. */
function checkOf(derived: Uint8Array): Uint8Array {
	return hmac(sha256, derived, utf8.encode('stillmast pen check'));
}

/** As long as a secret and used for one secret only, since every lock has a salt of its own. */
function padOf(derived: Uint8Array): Uint8Array {
	return hmac(sha256, derived, utf8.encode('stillmast pen pad'));
}

function xor(bytes: Uint8Array, pad: Uint8Array): Uint8Array {
	return bytes.map((byte, i) => byte ^ (pad[i] ?? 0));
}

function derive(code: string, salt: Uint8Array, rounds: number): Promise<Uint8Array> {
	return derivePbkdf2(utf8.encode(code.normalize('NFKC')), salt, rounds);
}

/**
 * PBKDF2-HMAC-SHA-256, 32 bytes: by WebCrypto where there is one, else by the library, many times slower.
 * `platform` false takes the library, so that tests can hold one against the other.
 */
export async function derivePbkdf2(
	password: Uint8Array,
	salt: Uint8Array,
	rounds: number,
	platform = true,
): Promise<Uint8Array> {
	const subtle = platform ? globalThis.crypto?.subtle : undefined;
	if (subtle === undefined) return pbkdf2(sha256, password, salt, { c: rounds, dkLen: 32 });
	const key = await subtle.importKey('raw', new Uint8Array(password), 'PBKDF2', false, ['deriveBits']);
	const algorithm = { name: 'PBKDF2', hash: 'SHA-256', salt: new Uint8Array(salt), iterations: rounds };
	return new Uint8Array(await subtle.deriveBits(algorithm, key, 256));
}
