import { fail, ok, type Problem, type Result } from '@stillmast/core/result';

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_';
const VALUES = Uint8Array.from({ length: 128 }, (_, code) => {
	const value = ALPHABET.indexOf(String.fromCharCode(code));
	return value < 0 ? 255 : value;
});

/** Base64url of RFC 4648 section 5, without padding. */
export function toBase64url(bytes: Uint8Array): string {
	let text = '';
	for (let i = 0; i < bytes.length; i += 3) {
		const left = bytes.length - i;
		const word = ((bytes[i] ?? 0) << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0);
		text += (ALPHABET[word >> 18] as string) + (ALPHABET[(word >> 12) & 63] as string);
		if (left > 1) text += ALPHABET[(word >> 6) & 63] as string;
		if (left > 2) text += ALPHABET[word & 63] as string;
	}
	return text;
}

/**
 * Strict inverse of `toBase64url`: no padding, no other character, no length that no bytes have, no spare bit set, so
 * that bytes have one spelling only.
 * @returns the bytes, or `not-base64url` with the place of the first offence
 */
export function fromBase64url(text: string): Result<Uint8Array, Problem & { code: 'not-base64url' }> {
	const refuse = (found: unknown) => fail({ code: 'not-base64url' as const, found });
	const rest = text.length % 4;
	if (rest === 1) return refuse(`${text.length} characters`);
	const bytes = new Uint8Array(Math.floor((text.length * 3) / 4));
	let held = 0;
	let bits = 0;
	let at = 0;
	for (let i = 0; i < text.length; i++) {
		const value = VALUES[text.charCodeAt(i)] ?? 255;
		if (value === 255) return refuse(`character ${i}`);
		held = ((held << 6) | value) & 0xffff;
		bits += 6;
		if (bits >= 8) {
			bits -= 8;
			bytes[at++] = (held >> bits) & 0xff;
		}
	}
	return (held & ((1 << bits) - 1)) === 0 ? ok(bytes) : refuse('spare bits');
}
