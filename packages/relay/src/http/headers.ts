import type { ServerResponse } from 'node:http';

/**
 * Set before anything answers, pages included. A page's own policy replaces the one here, which then only keeps frames
 * out; X-Frame-Options says that once more for a page whose policy forgot it.
 */
export function setSecurityHeaders(response: ServerResponse, secure: boolean): void {
	response.setHeader('content-security-policy', "frame-ancestors 'none'; object-src 'none'; base-uri 'none'");
	response.setHeader('x-frame-options', 'DENY');
	response.setHeader('x-content-type-options', 'nosniff');
	response.setHeader('referrer-policy', 'no-referrer');
	response.setHeader('cross-origin-opener-policy', 'same-origin');
	response.setHeader('cross-origin-resource-policy', 'same-origin');
	if (secure) response.setHeader('strict-transport-security', 'max-age=31536000');
}

/** Answers of the relay itself: never kept by a browser or something between, never shown as a page. */
function send(response: ServerResponse, status: number, type: string, body: string): void {
	response.setHeader('content-security-policy', "default-src 'none'; frame-ancestors 'none'");
	response.setHeader('content-type', `${type}; charset=utf-8`);
	response.setHeader('cache-control', 'no-store');
	response.writeHead(status);
	response.end(body);
}

export function sendJson(response: ServerResponse, status: number, body: unknown): void {
	send(response, status, 'application/json', `${JSON.stringify(body)}\n`);
}

export function sendText(response: ServerResponse, status: number, text: string): void {
	send(response, status, 'text/plain', text);
}
