import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { fail, ok, type Result } from '@stillmast/core/result';
import type { PageHandler } from '@stillmast/relay';

/**
 * The built board's request handler.
 * @param origin where the pages are reached; the handler reads it once, when it is loaded
 */
export async function loadBoard(origin: string): Promise<Result<PageHandler>> {
	const folder = dirname(createRequire(import.meta.url).resolve('@stillmast/board/package.json'));
	const file = join(folder, 'build', 'handler.js');
	if (!existsSync(file)) return fail({ code: 'board-not-built', found: file, needed: '`npm run build`' });
	process.env.ORIGIN ??= origin;
	const { handler } = (await import(pathToFileURL(file).href)) as { readonly handler: PageHandler };
	return ok(handler);
}
