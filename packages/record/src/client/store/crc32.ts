const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
	let remainder = byte;
	for (let bit = 0; bit < 8; bit++) remainder = remainder & 1 ? (remainder >>> 1) ^ 0xedb88320 : remainder >>> 1;
	return remainder;
});

/**
 * CRC-32 as in IEEE 802.3 (reflected polynomial 0xEDB88320), as an unsigned 32-bit number.
 * Finds rows that a disk gave back altered; against people, entries carry SHA-256 and a signature.
 */
export function crc32(bytes: Uint8Array): number {
	let remainder = 0xffffffff;
	for (const byte of bytes) remainder = (remainder >>> 8) ^ (TABLE[(remainder ^ byte) & 0xff] ?? 0);
	return (remainder ^ 0xffffffff) >>> 0;
}
