/**
 * DER, as far as a certificate needs it (X.690, X.680): a tag, a length, the content. Written here because the platform
 * reads certificates and makes none.
 */
const TAG = { boolean: 0x01, integer: 0x02, bits: 0x03, octets: 0x04, oid: 0x06, utf8: 0x0c, time: 0x18 } as const;
const SEQUENCE = 0x30;
const SET = 0x31;

function tagged(tag: number, content: Uint8Array): Buffer {
	const { length } = content;
	if (length < 0x80) return Buffer.concat([Buffer.of(tag, length), content]);
	const digits = Buffer.from(length.toString(16).padStart(length > 0xff ? 4 : 2, '0'), 'hex');
	if (length > 0xffff) throw new RangeError(`${length} bytes in one DER value`);
	return Buffer.concat([Buffer.of(tag, 0x80 | digits.length), digits, content]);
}

export const sequence = (...parts: readonly Uint8Array[]): Buffer => tagged(SEQUENCE, Buffer.concat(parts));
export const setOf = (part: Uint8Array): Buffer => tagged(SET, part);
export const octets = (content: Uint8Array): Buffer => tagged(TAG.octets, content);
export const utf8 = (text: string): Buffer => tagged(TAG.utf8, Buffer.from(text));
/** Context tag `number` around another value. */
export const explicit = (number: number, content: Uint8Array): Buffer => tagged(0xa0 | number, content);
/** Context tag `number` in place of a primitive value's own. */
export const implicit = (number: number, content: Uint8Array): Buffer => tagged(0x80 | number, content);
export const yes = (): Buffer => tagged(TAG.boolean, Buffer.of(0xff));

/** A whole number that is not negative, as big-endian bytes. */
export function integer(bytes: Uint8Array): Buffer {
	let start = 0;
	while (start < bytes.length - 1 && bytes[start] === 0) start++;
	const shortest = Buffer.from(bytes.subarray(start));
	// A first bit that is set would make it negative.
	return tagged(TAG.integer, (shortest[0] ?? 0) >= 0x80 ? Buffer.concat([Buffer.of(0), shortest]) : shortest);
}

/** @param unused bits at the end that mean nothing */
export function bitString(content: Uint8Array, unused = 0): Buffer {
	return tagged(TAG.bits, Buffer.concat([Buffer.of(unused), content]));
}

/** An object identifier in dots, such as `2.5.29.15`. */
export function oid(dotted: string): Buffer {
	const [first = 0, second = 0, ...rest] = dotted.split('.').map(Number);
	const bytes = [first * 40 + second];
	for (const part of rest) {
		const septets = [part & 0x7f];
		for (let left = part >>> 7; left > 0; left >>>= 7) septets.unshift(0x80 | (left & 0x7f));
		bytes.push(...septets);
	}
	return tagged(TAG.oid, Buffer.from(bytes));
}

/**
 * A time to the second, UTC. Certificates write years before 2050 with two digits (RFC 5280, 4.1.2.5).
 * @param atMs milliseconds since 1970 UTC
 */
export function time(atMs: number): Buffer {
	const iso = new Date(atMs).toISOString();
	const digits = `${iso.slice(0, 19).replace(/[-T:]/g, '')}Z`;
	return Number(iso.slice(0, 4)) < 2050
		? tagged(0x17, Buffer.from(digits.slice(2)))
		: tagged(TAG.time, Buffer.from(digits));
}
