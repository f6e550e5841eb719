import { getPublicKey, hashes, sign, verify } from '@noble/ed25519';
import { sha512 } from '@noble/hashes/sha2.js';
import { fromBase64url, toBase64url } from '../hash/base64url.js';
import { fingerprint } from '../hash/hash-entry.js';

/** A key that can sign: what a pen or a host writes with. */
export interface PenKey {
	/** 32 bytes, base64url. */
	readonly publicKey: string;
	/** SHA-256 of them: `by` in entries. */
	readonly fingerprint: string;
	readonly keeping: 'non-extractable' | 'extractable';
	/** Ed25519 over the UTF-8 of `text`; 64 bytes, base64url. */
	readonly sign: (text: string) => Promise<string>;
}

/** What the device keeps to take a pen up again; fit for IndexedDB. */
export type KeptKey =
	| { readonly keeping: 'non-extractable'; readonly publicKey: string; readonly privateKey: CryptoKey }
	| { readonly keeping: 'extractable'; readonly publicKey: string; readonly secret: Uint8Array };

/** `length` random bytes, fit for keys. */
export type Random = (length: number) => Uint8Array;

// The library takes SHA-512 from WebCrypto unless told otherwise, and that is missing just where it is needed.
hashes.sha512 = sha512;

const utf8 = new TextEncoder();

/**
 * A new key: by WebCrypto and non-extractable where the platform has Ed25519 and a secure context, else by the library
 * from 32 bytes of `random`, marked extractable.
 */
export async function createKey(random: Random): Promise<KeptKey> {
	const subtle = platformSubtle();
	if (subtle !== undefined) {
		try {
			const pair = await subtle.generateKey('Ed25519', false, ['sign', 'verify']);
			if ('privateKey' in pair) {
				const raw = new Uint8Array(await subtle.exportKey('raw', pair.publicKey));
				return { keeping: 'non-extractable', publicKey: toBase64url(raw), privateKey: pair.privateKey };
			}
		} catch {
			// An older platform knows WebCrypto but not Ed25519: the library below does.
		}
	}
	return softwareKey(random(32));
}

/** The key of a 32-byte secret (RFC 8032), kept in software. */
export function softwareKey(secret: Uint8Array): KeptKey {
	return { keeping: 'extractable', publicKey: toBase64url(getPublicKey(secret)), secret };
}

/** A kept key, ready to sign. */
export function openKey(kept: KeptKey): PenKey {
	const { publicKey, keeping } = kept;
	const signBytes =
		kept.keeping === 'non-extractable'
			? async (bytes: Uint8Array<ArrayBuffer>) =>
					new Uint8Array(await crypto.subtle.sign('Ed25519', kept.privateKey, bytes))
			: async (bytes: Uint8Array) => sign(bytes, kept.secret);
	return {
		publicKey,
		fingerprint: fingerprint(publicKey),
		keeping,
		sign: async (text) => toBase64url(await signBytes(utf8.encode(text))),
	};
}

/** A public key ready to check signatures; import once, check many. */
export interface VerifyingKey {
	readonly verifies: (text: string, sig: string) => Promise<boolean>;
}

/**
 * The key for checking. Never rejects: a text that is no key verifies nothing.
 * `platform` false takes the library even where WebCrypto could, so that tests can hold one against the other.
 */
export async function verifyingKey(publicKey: string, platform = true): Promise<VerifyingKey> {
	const raw = fromBase64url(publicKey);
	if (!raw.ok || raw.value.length !== 32) return { verifies: async () => false };
	const keyBytes = new Uint8Array(raw.value);
	const imported = platform ? await importKey(keyBytes) : null;
	return {
		async verifies(text, sig) {
			const sigBytes = fromBase64url(sig);
			if (!sigBytes.ok || sigBytes.value.length !== 64) return false;
			const bytes = utf8.encode(text);
			try {
				return imported !== null
					? await crypto.subtle.verify('Ed25519', imported, new Uint8Array(sigBytes.value), bytes)
					: // RFC 8032 as WebCrypto does it, not the looser ZIP 215: both must come to one answer.
						verify(sigBytes.value, bytes, keyBytes, { zip215: false });
			} catch {
				return false;
			}
		},
	};
}

async function importKey(bytes: Uint8Array<ArrayBuffer>): Promise<CryptoKey | null> {
	try {
		return (await platformSubtle()?.importKey('raw', bytes, 'Ed25519', true, ['verify'])) ?? null;
	} catch {
		return null;
	}
}

/** Missing outside secure contexts. */
function platformSubtle(): SubtleCrypto | undefined {
	return globalThis.crypto?.subtle;
}
