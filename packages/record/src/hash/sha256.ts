import { sha256 } from '@noble/hashes/sha2.js';
import { toBase64url } from './base64url.js';

/** SHA-256 of bytes, or of the UTF-8 of a text, in base64url. */
export type Sha256Text = (data: Uint8Array | string) => string;

interface NodeCrypto {
	readonly hash?: (algorithm: string, data: Uint8Array | string, encoding: string) => string;
}

interface NodeProcess {
	readonly getBuiltinModule?: (id: string) => NodeCrypto | undefined;
}

const utf8 = new TextEncoder();

/** By the library: what browsers use, where the platform can hash only by promises. */
export const librarySha256: Sha256Text = (data) =>
	toBase64url(sha256(typeof data === 'string' ? utf8.encode(data) : data));

/**
 * By the platform where it hashes at once (Node 20.16 and later), at a third of the cost; a relay hashes every entry
 * that passes. Asked for by name and not imported, so that browsers load nothing in its place.
 */
export const platformSha256: Sha256Text | null = findPlatform();

function findPlatform(): Sha256Text | null {
	const { process } = globalThis as { readonly process?: NodeProcess };
	const hash = process?.getBuiltinModule?.('node:crypto')?.hash;
	return hash === undefined ? null : (data) => hash('sha256', data, 'base64url');
}

export const sha256Text: Sha256Text = platformSha256 ?? librarySha256;
