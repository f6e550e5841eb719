/** With the `u` flag a proper pair is one character of its own category, so only halves match. */
const LONE_SURROGATE = /\p{Surrogate}/u;

/**
 * The one JSON text of a value by RFC 8785 (JSON Canonicalization Scheme): members sorted by UTF-16 units, numbers as
 * ECMAScript writes them (−0 as 0), shortest string escapes, no spaces.
 * @throws TypeError for what has no JSON or no UTF-8: NaN, infinities, undefined, lone surrogates, functions, symbols,
 * big integers and objects with a prototype of their own. Data from outside is judged before (`plainJson`).
 */
export function canonicalJson(value: unknown): string {
	if (typeof value === 'string') return quote(value);
	if (typeof value === 'number') {
		if (!Number.isFinite(value)) throw new TypeError(`canonicalJson: ${value} is not JSON`);
		return String(value === 0 ? 0 : value);
	}
	if (value === null) return 'null';
	if (typeof value === 'boolean') return value ? 'true' : 'false';
	if (Array.isArray(value)) {
		let text = '[';
		// Counted, not iterated: a hole must throw like the undefined that it reads as.
		for (let i = 0; i < value.length; i++) text += (i === 0 ? '' : ',') + canonicalJson(value[i]);
		return `${text}]`;
	}
	if (typeof value !== 'object') throw new TypeError(`canonicalJson: ${typeof value} is not JSON`);
	const prototype: unknown = Object.getPrototypeOf(value);
	if (prototype !== Object.prototype && prototype !== null) {
		throw new TypeError(`canonicalJson: ${value.constructor?.name ?? 'object'} is not plain JSON`);
	}
	const object = value as Readonly<Record<string, unknown>>;
	let text = '{';
	// The default sort compares UTF-16 units, as RFC 8785 section 3.2.3 asks.
	for (const key of Object.keys(object).sort()) {
		text += `${text.length === 1 ? '' : ','}${quote(key)}:${canonicalJson(object[key])}`;
	}
	return `${text}}`;
}

function quote(text: string): string {
	if (LONE_SURROGATE.test(text)) throw new TypeError('canonicalJson: lone surrogate');
	return JSON.stringify(text);
}
