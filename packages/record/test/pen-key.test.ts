import { describe, expect, it } from 'vitest';
import vectors from '../../../tests/vectors/record/ed25519.json' with { type: 'json' };
import { createKey, openKey, softwareKey, toBase64url, verifyingKey } from '../src/index.js';
import { seededKey, seededRandom } from './world/people.js';

const bytes = (hex: string) => new Uint8Array(Buffer.from(hex, 'hex'));
const utf8 = (hex: string) => Buffer.from(hex, 'hex').toString('utf8');

// Source: RFC 8032 section 7.1. Basis: published.
describe.each(vectors)('RFC 8032 $id', ({ secret, publicKey, message, signature }) => {
	it('[REC-5] softwareKey(secret) has the published public key and writes the published signature', async () => {
		const key = openKey(softwareKey(bytes(secret)));
		expect(key.publicKey).toBe(toBase64url(bytes(publicKey)));
		expect(await key.sign(utf8(message))).toBe(toBase64url(bytes(signature)));
	});

	it.each([true, false])(
		'[REC-5] verifyingKey(publicKey, platform %s) takes it and no other text',
		async (platform) => {
			const key = await verifyingKey(toBase64url(bytes(publicKey)), platform);
			expect(await key.verifies(utf8(message), toBase64url(bytes(signature)))).toBe(true);
			expect(await key.verifies(`${utf8(message)}.`, toBase64url(bytes(signature)))).toBe(false);
		},
	);
});

describe('createKey(random)', () => {
	it('[REC-5] gives a key that cannot be taken out of the platform, and whose signatures hold for all three verifiers', async () => {
		const kept = await createKey(seededRandom(1));
		expect(kept.keeping).toBe('non-extractable');
		if (kept.keeping !== 'non-extractable') return;
		await expect(crypto.subtle.exportKey('pkcs8', kept.privateKey)).rejects.toThrow();
		const key = openKey(kept);
		const sig = await key.sign('what is signed');
		expect(await (await verifyingKey(key.publicKey, true)).verifies('what is signed', sig)).toBe(true);
		expect(await (await verifyingKey(key.publicKey, false)).verifies('what is signed', sig)).toBe(true);
	});

	it('[REC-5] the library takes what OpenSSL signed, and refuses each of its 64 bytes flipped', async () => {
		const key = seededKey(3);
		const sig = await key.sign('text');
		const library = await verifyingKey(key.publicKey, false);
		expect(await library.verifies('text', sig)).toBe(true);
		for (let i = 0; i < 64; i++) {
			const flipped = new Uint8Array(Buffer.from(sig, 'base64url'));
			flipped[i] = (flipped[i] ?? 0) ^ 1;
			expect(await library.verifies('text', toBase64url(flipped)), `byte ${i}`).toBe(false);
		}
	});
});

describe('verifyingKey(publicKey)', () => {
	it.each(['', 'AAAA', '!'.repeat(43), 'A'.repeat(44)])('[REC-5] never rejects: %j verifies nothing', async (text) => {
		expect(await (await verifyingKey(text)).verifies('text', 'A'.repeat(86))).toBe(false);
	});

	it.each(['', 'AA', 'A'.repeat(86), 'not base64url'])('[REC-5] takes %j for no signature', async (sig) => {
		for (const platform of [true, false]) {
			expect(await (await verifyingKey(seededKey(4).publicKey, platform)).verifies('text', sig)).toBe(false);
		}
	});
});
