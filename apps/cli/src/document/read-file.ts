import { type FileHandle, open } from 'node:fs/promises';
import type { Readable } from 'node:stream';
import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { readJson, sizeLimitBytes } from '@stillmast/formats/json';

/** Reads a whole file up to the size limit; a larger one is refused before a byte of it is read. */
export async function readFileBytes(file: string): Promise<Result<Uint8Array>> {
	let handle: FileHandle | undefined;
	try {
		handle = await open(file, 'r');
		const { size } = await handle.stat();
		if (size > sizeLimitBytes)
			return fail({ code: 'too-large', found: `${size} bytes`, needed: `at most ${sizeLimitBytes}` });
		return await readStreamBytes(handle.createReadStream({ autoClose: false }));
	} catch (error) {
		const code = (error as NodeJS.ErrnoException).code;
		if (code === undefined) throw error;
		return fail({
			code: code === 'ENOENT' ? 'no-file' : 'unreadable',
			found: code === 'ENOENT' ? file : `${file} (${code})`,
		});
	} finally {
		await handle?.close();
	}
}

/** Reads a stream to its end, or refuses it as soon as it passes the limit: its size is not known before. */
export async function readStreamBytes(stream: Readable): Promise<Result<Uint8Array>> {
	const chunks: Buffer[] = [];
	let size = 0;
	for await (const chunk of stream) {
		const bytes = Buffer.from(chunk);
		size += bytes.length;
		if (size > sizeLimitBytes)
			return fail({ code: 'too-large', found: `over ${sizeLimitBytes} bytes`, needed: `at most ${sizeLimitBytes}` });
		chunks.push(bytes);
	}
	return ok(Buffer.concat(chunks));
}

/** Text of bytes that must be UTF-8; a single wrong byte is refused, never replaced. */
export function decodeText(bytes: Uint8Array): Result<string> {
	try {
		return ok(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
	} catch {
		return fail({ code: 'not-utf8' satisfies Problem['code'] });
	}
}

/** Parses one document from bytes. */
export function parseDocument(bytes: Uint8Array): Result<unknown> {
	const text = decodeText(bytes);
	return text.ok ? readJson(text.value) : text;
}
