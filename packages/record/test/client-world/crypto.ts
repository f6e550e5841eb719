import { createHash, createPublicKey, type KeyObject, verify } from 'node:crypto';

const SPKI = Buffer.from('302a300506032b6570032100', 'hex');

/**
 * WebCrypto that answers on the spot instead of from threads of its own, so that virtual time does not run ahead of it.
 * The same Ed25519 by the same library; signing is left to the library that the pens of tests use anyway.
 */
export function promptCrypto(): object {
	const keys = new WeakMap<object, KeyObject>();
	return {
		getRandomValues: globalThis.crypto.getRandomValues.bind(globalThis.crypto),
		subtle: {
			importKey: async (_format: string, raw: Uint8Array) => {
				const token = {};
				keys.set(token, createPublicKey({ key: Buffer.concat([SPKI, raw]), format: 'der', type: 'spki' }));
				return token;
			},
			verify: async (_algorithm: string, token: object, signature: Uint8Array, bytes: Uint8Array) =>
				verify(null, bytes, keys.get(token) as KeyObject, signature),
			digest: async (_algorithm: string, bytes: Uint8Array) =>
				new Uint8Array(createHash('sha512').update(bytes).digest()).buffer,
		},
	};
}
