/** What may be bound. Anything else takes the process down inside the native library instead of throwing. */
export type Bound = string | number | bigint | null | Buffer;

const counted = new Map<string, number>();

/** Placeholders in a statement of ours: only bare question marks are used, and none inside a literal. */
export function placeholderCount(sql: string): number {
	const known = counted.get(sql);
	if (known !== undefined) return known;
	const count = sql.split('?').length - 1;
	counted.set(sql, count);
	return count;
}

/**
 * Checks parameters before they reach the native library, which ends the process on a wrong type, binds what is missing
 * silently and cuts text at NUL. Throws: a wrong parameter is an error of ours, never of a device.
 */
export function checkedBinding(sql: string, values: readonly unknown[]): Bound[] {
	const needed = placeholderCount(sql);
	if (!Array.isArray(values) || values.length !== needed) {
		throw new TypeError(`statement needs ${needed} parameters in one array`);
	}
	return values.map((value, index) => {
		if (value === null || typeof value === 'bigint' || Buffer.isBuffer(value)) return value;
		if (typeof value === 'number' && Number.isFinite(value)) return value;
		// Evidence is bound as bytes; text is for ids and words, where a NUL would be cut without a sign.
		if (typeof value === 'string' && !value.includes('\0')) return value;
		throw new TypeError(`parameter ${index} of a statement may not be ${describe(value)}`);
	});
}

function describe(value: unknown): string {
	if (typeof value === 'string') return 'text with a NUL in it';
	if (typeof value === 'number') return String(value);
	return value?.constructor?.name ?? typeof value;
}

/** Bytes without a copy. A structured clone between threads turns a Buffer into a plain Uint8Array. */
export function asBuffer(bytes: Uint8Array): Buffer {
	return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
