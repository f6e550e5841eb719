import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { JsonValue } from './envelope.js';

/** `code`: not-plain-json, number-not-finite, lone-surrogate, key-not-allowed, nested-too-deep, too-big. */
export interface PlainJsonProblem extends Problem {
	readonly code:
		| 'not-plain-json'
		| 'number-not-finite'
		| 'lone-surrogate'
		| 'key-not-allowed'
		| 'nested-too-deep'
		| 'too-big';
	readonly path: string;
}

/** With the `u` flag a proper pair is one character of its own category, so only halves match. */
const LONE_SURROGATE = /\p{Surrogate}/u;

const RESERVED_KEYS: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

export interface PlainJsonLimits {
	readonly bytesMax: number;
	readonly depthMax: number;
}

/**
 * Is `value` JSON and nothing but JSON: null, booleans, finite numbers (−0 has no JSON of its own and is refused),
 * well-formed strings, dense arrays, plain objects; at most `depthMax` containers inside one another and `bytesMax`
 * bytes when written without spaces.
 * @returns the same value, narrowed; the first problem in document order otherwise
 */
export function plainJson(value: unknown, limits: PlainJsonLimits): Result<JsonValue, PlainJsonProblem> {
	let charactersAtMost = 0;
	const found = visit(value, 1);
	if (found !== null) return fail({ ...found, path: `$${found.path}` });
	// Six bytes (\u0000) is the most one character can take, so the exact count is needed for long values only.
	if (charactersAtMost > limits.bytesMax) {
		const bytes = utf8Bytes(JSON.stringify(value));
		if (bytes > limits.bytesMax) return fail({ code: 'too-big', path: '$', found: bytes, needed: limits.bytesMax });
	}
	return ok(value as JsonValue);

	/** Problems carry their path from here on down; who calls puts its own step before it. */
	function visit(part: unknown, depth: number): PlainJsonProblem | null {
		if (typeof part === 'string') {
			charactersAtMost += 6 * part.length + 3;
			return LONE_SURROGATE.test(part) ? { code: 'lone-surrogate', path: '' } : null;
		}
		if (typeof part === 'number') {
			charactersAtMost += 26;
			if (!Number.isFinite(part)) return { code: 'number-not-finite', path: '', found: String(part) };
			return Object.is(part, -0) ? { code: 'not-plain-json', path: '', found: '-0', needed: '0' } : null;
		}
		if (part === null || typeof part === 'boolean') {
			charactersAtMost += 6;
			return null;
		}
		if (typeof part !== 'object') return { code: 'not-plain-json', path: '', found: typeof part };
		if (depth > limits.depthMax) return { code: 'nested-too-deep', path: '', needed: limits.depthMax };
		charactersAtMost += 3;
		// A bomb of many small parts is stopped here, before it is walked to its end.
		if (charactersAtMost > 8 * limits.bytesMax) return { code: 'too-big', path: '', needed: limits.bytesMax };
		return Array.isArray(part) ? visitArray(part, depth) : visitObject(part, depth);
	}

	function visitArray(part: readonly unknown[], depth: number): PlainJsonProblem | null {
		for (let i = 0; i < part.length; i++) {
			const problem = visit(part[i], depth + 1);
			if (problem !== null) return { ...problem, path: `[${i}]${problem.path}` };
		}
		return null;
	}

	function visitObject(part: object, depth: number): PlainJsonProblem | null {
		const prototype: unknown = Object.getPrototypeOf(part);
		if (prototype !== Object.prototype && prototype !== null) {
			return { code: 'not-plain-json', path: '', found: part.constructor?.name ?? 'object' };
		}
		const object = part as Readonly<Record<string, unknown>>;
		for (const key of Object.keys(object)) {
			// Programs treat these as their own: assigning them changes an object instead of adding to it.
			if (RESERVED_KEYS.has(key)) return { code: 'key-not-allowed', path: '', found: key };
			charactersAtMost += 6 * key.length + 4;
			if (LONE_SURROGATE.test(key)) return { code: 'lone-surrogate', path: '' };
			const problem = visit(object[key], depth + 1);
			if (problem !== null) return { ...problem, path: memberPath('', key) + problem.path };
		}
		return null;
	}
}

/** `$.a["b c"][0]`: names that are not identifiers are quoted. */
export function memberPath(path: string, key: string): string {
	return /^[A-Za-z_][A-Za-z0-9_]*$/.test(key) ? `${path}.${key}` : `${path}[${JSON.stringify(key)}]`;
}

/** Length in UTF-8; `text` must be well formed. */
export function utf8Bytes(text: string): number {
	let bytes = 0;
	for (let i = 0; i < text.length; i++) {
		const unit = text.charCodeAt(i);
		if (unit < 0x80) bytes += 1;
		else if (unit < 0x800) bytes += 2;
		else if (unit >= 0xd800 && unit <= 0xdbff) {
			bytes += 4;
			i++;
		} else bytes += 3;
	}
	return bytes;
}
