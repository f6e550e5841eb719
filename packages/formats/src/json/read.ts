import { fail, ok, type Result } from '@stillmast/core/result';
import type { JsonFault } from './fault.js';
import { Scanner } from './scanner.js';

/** Documents above this size are refused unread; files that stream (traces, signals) have their own readers. */
export const sizeLimitBytes = 64 * 1024 * 1024;

/** Objects and arrays within each other. */
export const depthLimit = 64;

/**
 * Reads one JSON document as RFC 8259 has it, and stricter where readers of JSON differ: no key twice in an object,
 * no number beyond a double's range, no key that programs treat as their own (`__proto__`), at most 64 levels.
 * @param text the whole document; a byte-order mark at the start is allowed
 * @returns the parsed value, or the first fault with its place
 */
export function readJson(text: string): Result<unknown, JsonFault> {
	// Never more UTF-16 units than bytes, so what is refused here is over the limit in the file as well.
	if (text.length > sizeLimitBytes) {
		return fail({ code: 'too-large', found: text.length, needed: sizeLimitBytes, path: '$' });
	}
	const document = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
	const fault = new Scanner(document, depthLimit).firstFault();
	return fault === undefined ? ok(JSON.parse(document)) : fail(fault);
}
