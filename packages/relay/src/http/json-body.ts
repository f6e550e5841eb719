import type { IncomingMessage } from 'node:http';
import { fail, ok, type Result } from '@stillmast/core/result';

/** `not-json` · `body-too-large` · `body-cut-off` */
export type BodyProblem = {
	readonly code: 'not-json' | 'body-too-large' | 'body-cut-off';
	readonly found?: string | number;
	readonly needed?: string | number;
};

/**
 * Reads a body of at most `limitBytes` as text. Only `application/json` is taken: a form on a foreign page cannot send it.
 * Stops reading as soon as the limit is passed.
 */
export async function readJsonText(request: IncomingMessage, limitBytes: number): Promise<Result<string, BodyProblem>> {
	const type = request.headers['content-type']?.split(';')[0]?.trim().toLowerCase();
	if (type !== 'application/json') return fail({ code: 'not-json', found: type ?? 'none', needed: 'application/json' });
	const parts: Buffer[] = [];
	let size = 0;
	try {
		for await (const part of request as AsyncIterable<Buffer>) {
			size += part.length;
			if (size > limitBytes) return fail({ code: 'body-too-large', found: size, needed: limitBytes });
			parts.push(part);
		}
	} catch {
		return fail({ code: 'body-cut-off', found: size });
	}
	try {
		return ok(new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(parts)));
	} catch {
		return fail({ code: 'not-json', found: 'bytes that are not UTF-8' });
	}
}

/** Parses a small body; nesting needs no limit here because the size has one. */
export function parseJson(text: string): Result<unknown, BodyProblem> {
	try {
		return ok(JSON.parse(text) as unknown);
	} catch {
		return fail({ code: 'not-json' });
	}
}
