const zero = 48;
const nine = 57;
const plus = 43;
const minus = 45;
const space = 32;
const quote = 34;

/** Powers of ten that a double holds exactly. */
const tens = Array.from({ length: 23 }, (_, k) => 10 ** k);

/** What a cell holds: a number, nothing (`gap`), or text that is no number. */
export type Cell = number | 'gap' | 'text';

const decoder = new TextDecoder();

/**
 * Reads a cell of a CSV row as a number. Decimals of up to 15 digits are read straight from the bytes: digits and power of
 * ten are then exact, so that the quotient is the nearest double; everything else goes the long way.
 * @param point the byte of the decimal sign, `.` or `,`
 */
export function readCell(bytes: Uint8Array, from: number, to: number, point: number): Cell {
	let start = from;
	let end = to;
	while (start < end && isPadding(bytes[start] as number)) start++;
	while (end > start && isPadding(bytes[end - 1] as number)) end--;
	if (start === end) return 'gap';
	let at = start;
	const sign = bytes[at] === minus ? -1 : 1;
	if (bytes[at] === minus || bytes[at] === plus) at++;
	let digits = 0;
	let value = 0;
	let decimals = 0;
	let afterPoint = false;
	for (; at < end; at++) {
		const byte = bytes[at] as number;
		if (byte >= zero && byte <= nine) {
			value = value * 10 + (byte - zero);
			digits++;
			if (afterPoint) decimals++;
		} else if (byte === point && !afterPoint) afterPoint = true;
		else return readLong(bytes, start, end, point);
	}
	if (digits === 0 || digits > 15) return readLong(bytes, start, end, point);
	return (sign * value) / (tens[decimals] as number);
}

function isPadding(byte: number): boolean {
	return byte === space || byte === quote;
}

/** Exponents, very long numbers, `NaN`, and what is no number. */
function readLong(bytes: Uint8Array, start: number, end: number, point: number): Cell {
	const written = decoder.decode(bytes.subarray(start, end));
	const text = point === 44 ? written.replace(',', '.') : written;
	if (/^nan$/i.test(text)) return 'gap';
	const value = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text) ? Number(text) : Number.NaN;
	return Number.isFinite(value) ? value : 'text';
}
