import { createHash, createPrivateKey, createPublicKey, type KeyObject, sign, verify } from 'node:crypto';
import type { KeptKey } from '@stillmast/record/pen';

/**
 * Signing without threads: the platform's WebCrypto answers from a pool of its own, at times that no seed decides. The
 * same Ed25519 by the same library, called on the spot, keeps a run repeatable. `stand-in` signs with a hash instead:
 * for runs that are about the order of events, five times as fast.
 */
export type Signatures = 'ed25519' | 'stand-in';

const PKCS8 = Buffer.from('302e020100300506032b657004220420', 'hex');
const SPKI = Buffer.from('302a300506032b6570032100', 'hex');

interface Handle {
	readonly publicKey: Uint8Array;
	readonly key: KeyObject;
}

const handles = new WeakMap<object, Handle>();

/** What `crypto` is while a simulation runs. */
export function cryptoOf(signatures: Signatures): Pick<Crypto, 'getRandomValues'> & { readonly subtle: object } {
	const standIn = ({ publicKey }: Handle, bytes: Uint8Array) =>
		createHash('sha512').update(publicKey).update(bytes).digest();
	return {
		getRandomValues: globalThis.crypto.getRandomValues.bind(globalThis.crypto),
		subtle: {
			importKey: async (_format: string, raw: Uint8Array) => {
				const token = {};
				const key = createPublicKey({ key: Buffer.concat([SPKI, raw]), format: 'der', type: 'spki' });
				handles.set(token, { publicKey: raw, key });
				return token;
			},
			sign: async (_algorithm: string, token: object, bytes: Uint8Array) => {
				const handle = handles.get(token) as Handle;
				return new Uint8Array(signatures === 'stand-in' ? standIn(handle, bytes) : sign(null, bytes, handle.key));
			},
			verify: async (_algorithm: string, token: object, signature: Uint8Array, bytes: Uint8Array) => {
				const handle = handles.get(token) as Handle;
				if (signatures === 'stand-in') return standIn(handle, bytes).equals(signature);
				return verify(null, bytes, handle.key, signature);
			},
			digest: async (_algorithm: string, bytes: Uint8Array) =>
				new Uint8Array(createHash('sha512').update(bytes).digest()).buffer,
		},
	};
}

/** A key of 32 chosen bytes, held like one of the platform's. */
export function keyOf(secret: Uint8Array): KeptKey {
	const key = createPrivateKey({ key: Buffer.concat([PKCS8, secret]), format: 'der', type: 'pkcs8' });
	const publicKey = createPublicKey(key).export({ format: 'der', type: 'spki' }).subarray(SPKI.length);
	const token = {} as CryptoKey;
	handles.set(token, { publicKey, key });
	return { keeping: 'non-extractable', publicKey: publicKey.toString('base64url'), privateKey: token };
}
