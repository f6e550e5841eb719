/** With the `u` flag a proper pair is one character of its own category, so only halves match. */
const LONE_SURROGATE = /\p{Surrogate}/u;

/**
 * The one JSON text of a value by RFC 8785 (JSON Canonicalization Scheme): members sorted by UTF-16 units, numbers as
 * ECMAScript writes them (−0 as 0), shortest string escapes, no spaces.
 * @throws TypeError for what has no JSON or no UTF-8: NaN, infinities, undefined, lone surrogates, functions, symbols,
 * big integers and objects with a prototype of their own. Data from outside is judged before (`plainJson`).
 */
export function canonicalJson(value: unknown): string {
	// What was read from canonical text has its members in order already, and then the platform's own writer gives the
	// same text many times faster: it differs in nothing but order and what throws. Lone surrogates, the one thing not
	// looked for yet, it escapes as \ud…, which nothing else is.
	if (isSorted(value)) {
		const text = JSON.stringify(value);
		if (!text.includes('\\ud')) return text;
	}
	return write(value);
}

/** Plain JSON with all members in order? False also for what must throw: `write` does. */
function isSorted(value: unknown): boolean {
	if (typeof value === 'string' || typeof value === 'boolean' || value === null) return true;
	if (typeof value === 'number') return Number.isFinite(value);
	if (typeof value !== 'object') return false;
	if (Array.isArray(value)) {
		for (let i = 0; i < value.length; i++) if (!isSorted(value[i])) return false;
		return true;
	}
	if (!isPlain(value) || 'toJSON' in value) return false;
	const object = value as Readonly<Record<string, unknown>>;
	let before = '';
	for (const key of Object.keys(object)) {
		if (key < before || !isSorted(object[key])) return false;
		before = key;
	}
	return true;
}

function write(value: unknown): string {
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
		for (let i = 0; i < value.length; i++) text += (i === 0 ? '' : ',') + write(value[i]);
		return `${text}]`;
	}
	if (typeof value !== 'object') throw new TypeError(`canonicalJson: ${typeof value} is not JSON`);
	if (!isPlain(value)) throw new TypeError(`canonicalJson: ${value.constructor?.name ?? 'object'} is not plain JSON`);
	const object = value as Readonly<Record<string, unknown>>;
	let text = '{';
	// The default sort compares UTF-16 units, as RFC 8785 section 3.2.3 asks.
	for (const key of Object.keys(object).sort()) {
		text += `${text.length === 1 ? '' : ','}${quote(key)}:${write(object[key])}`;
	}
	return `${text}}`;
}

function isPlain(value: object): boolean {
	const prototype: unknown = Object.getPrototypeOf(value);
	return prototype === Object.prototype || prototype === null;
}

function quote(text: string): string {
	if (LONE_SURROGATE.test(text)) throw new TypeError('canonicalJson: lone surrogate');
	return JSON.stringify(text);
}
