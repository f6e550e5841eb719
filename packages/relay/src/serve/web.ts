import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { createServer as createSecureServer } from 'node:https';
import type { Addressing } from '../access/origins.js';
import { sendJson, setSecurityHeaders } from '../http/headers.js';
import { type Caller, type Routes, serveRoute } from '../http/routes.js';
import type { Clock, Log } from '../ports.js';

/** Serves the board's pages; calls `next` for a path it does not know. */
export type PageHandler = (request: IncomingMessage, response: ServerResponse, next?: () => void) => void;

/** A certificate with its chain and its key, both PEM. */
export interface Certificate {
	readonly cert: string;
	readonly key: string;
}

export interface WebOptions {
	/** Without one the host speaks plain HTTP, which is fine on this machine or behind a proxy that has one. */
	readonly certificate: Certificate | undefined;
	readonly routes: Routes;
	readonly pages: PageHandler | undefined;
	readonly addressing: Addressing;
	readonly clock: Clock;
	readonly log: Log;
}

/** Own routes first, then the pages. Every answer carries the security headers. */
export function createWeb(options: WebOptions): Server {
	const { log, clock, certificate } = options;
	const secure = certificate !== undefined;

	function serve(request: IncomingMessage, response: ServerResponse): void {
		const startedMs = clock.monotonicMs();
		const path = pathOf(request);
		setSecurityHeaders(response, secure);
		answer(options, path, request, response)
			.then((own) => {
				if (!own) return;
				log({
					level: 'info',
					event: 'request',
					method: request.method ?? '',
					path,
					status: response.statusCode,
					tookMs: Math.round(clock.monotonicMs() - startedMs),
				});
			})
			.catch((error: unknown) => {
				log({ level: 'error', event: 'request-failed', path, reason: error instanceof Error ? error.message : '' });
				if (!response.headersSent) sendJson(response, 500, { code: 'host-trouble' });
				else response.destroy();
			});
	}

	return certificate
		? createSecureServer({ cert: certificate.cert, key: certificate.key, minVersion: 'TLSv1.2' }, serve)
		: createServer(serve);
}

const pathOf = (request: IncomingMessage) => (request.url ?? '/').split('?', 1)[0] ?? '/';

/** True when one of our own routes answered. */
async function answer(
	{ routes, pages, addressing }: WebOptions,
	path: string,
	request: IncomingMessage,
	response: ServerResponse,
): Promise<boolean> {
	const hostName = request.headers.host ?? '';
	if (!addressing.knowsHost(hostName)) {
		sendJson(response, 421, { code: 'wrong-host' });
		return true;
	}
	const own = path === '/health' || path === '/metrics' || path.startsWith('/api/');
	if (!own) {
		if (pages) pages(request, response, () => sendJson(response, 404, { code: 'not-found' }));
		else sendJson(response, 404, { code: 'not-found' });
		return false;
	}
	const route = routes[`${request.method} ${path}`];
	if (!route) {
		const otherMethod = Object.keys(routes).some((key) => key.endsWith(` ${path}`));
		sendJson(response, otherMethod ? 405 : 404, { code: otherMethod ? 'wrong-method' : 'not-found' });
		return true;
	}
	// A browser names the page's origin with every post; a program that is no browser need not.
	if (request.headers.origin !== undefined && !addressing.allowsOrigin(request.headers.origin, hostName)) {
		sendJson(response, 403, { code: 'foreign-origin' });
		return true;
	}
	const caller: Caller = { address: request.socket.remoteAddress ?? '', hostName };
	await serveRoute(route, request, response, caller);
	return true;
}
