import type { Readable } from 'node:stream';
import { fail, ok, type Result } from '@stillmast/core/result';
import { sizeLimitBytes } from '@stillmast/formats/json';

const lineFeed = 0x0a;

/** One line of a stream, without its end. */
export interface Line {
	/** Counted from 1. */
	readonly number: number;
	readonly bytes: Result<Uint8Array>;
}

/**
 * Lines of a stream as they come. A line above the limit is passed over without being kept and reported in its place,
 * so one bad line costs neither memory nor the lines after it.
 */
export async function* linesOf(stream: Readable, limitBytes: number = sizeLimitBytes): AsyncGenerator<Line> {
	let number = 1;
	let parts: Buffer[] = [];
	let size = 0;
	const take = (part: Buffer): void => {
		size += part.length;
		if (size <= limitBytes) parts.push(part);
		else parts = [];
	};
	const finish = (): Line => {
		const bytes: Result<Uint8Array> =
			size > limitBytes
				? fail({ code: 'too-large', found: `${size} bytes`, needed: `at most ${limitBytes}` })
				: ok(Buffer.concat(parts));
		const line = { number, bytes };
		number++;
		parts = [];
		size = 0;
		return line;
	};
	for await (const chunk of stream) {
		let rest = Buffer.from(chunk);
		for (let at = rest.indexOf(lineFeed); at !== -1; at = rest.indexOf(lineFeed)) {
			take(rest.subarray(0, at));
			yield finish();
			rest = rest.subarray(at + 1);
		}
		take(rest);
	}
	if (size > 0) yield finish();
}

/** Nothing but blanks, as at the end of a file; such a line asks nothing and gets no answer. */
export function isBlank(bytes: Uint8Array): boolean {
	return bytes.every((byte) => byte === 0x20 || byte === 0x09 || byte === 0x0d);
}
