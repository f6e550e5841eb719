import type { IncomingMessage, ServerResponse } from 'node:http';
import { sendJson, sendText } from './headers.js';
import { parseJson, readJsonText } from './json-body.js';

/** What a route answers: a status and a JSON body, or plain text. Refusals carry `{ code }`, kebab-case and stable. */
export interface Answer {
	readonly status: number;
	readonly body: unknown;
}

export const answered = (body: unknown): Answer => ({ status: 200, body });
export const refused = (status: number, code: string, more: Readonly<Record<string, unknown>> = {}): Answer => ({
	status,
	body: { code, ...more },
});

export interface Caller {
	/** Network address, for rate limits only. */
	readonly address: string;
	/** The name by which this host was asked, as the browser sees it: `board.example:4300`. */
	readonly hostName: string;
}

export interface Route {
	/** Largest body in bytes; 0 for none. */
	readonly bodyBytes: number;
	/** Bodies that are checked by their own reader come as text. */
	readonly as: 'json' | 'text';
	answer(body: unknown, caller: Caller): Promise<Answer> | Answer;
}

/** Keys are method and path: `POST /api/join`. */
export type Routes = Readonly<Record<string, Route>>;

export function getRoute(answer: (caller: Caller) => Promise<Answer> | Answer): Route {
	return { bodyBytes: 0, as: 'json', answer: (_, caller) => answer(caller) };
}

/** Bodies of access calls hold a few ids and a name. */
const SMALL_BODY_BYTES = 4_096;

export function postRoute(answer: (body: Fields, caller: Caller) => Promise<Answer> | Answer): Route {
	return {
		bodyBytes: SMALL_BODY_BYTES,
		as: 'json',
		answer: (body, caller) => answer(fieldsOf(body), caller),
	};
}

/** For bodies that have their own reader. */
export function textRoute(
	bodyBytes: number,
	answer: (text: string, caller: Caller) => Promise<Answer> | Answer,
): Route {
	return { bodyBytes, as: 'text', answer: (body, caller) => answer(String(body), caller) };
}

/** Text fields of a body, numbers as their digits; everything else reads as missing. */
export type Fields = (name: string) => string | null;

function fieldsOf(body: unknown): Fields {
	return (name) => {
		if (typeof body !== 'object' || body === null || !Object.hasOwn(body, name)) return null;
		const value = (body as Readonly<Record<string, unknown>>)[name];
		if (typeof value === 'number') return String(value);
		return typeof value === 'string' ? value : null;
	};
}

/** Reads the body within its limit, calls the route and sends what it answers. */
export async function serveRoute(
	route: Route,
	request: IncomingMessage,
	response: ServerResponse,
	caller: Caller,
): Promise<number> {
	const answer = await answerOf(route, request, caller);
	// A body that was not read to its end would be taken for the next request on this connection.
	if (!request.complete) response.setHeader('connection', 'close');
	if (typeof answer.body === 'string') sendText(response, answer.status, answer.body);
	else sendJson(response, answer.status, answer.body);
	return answer.status;
}

async function answerOf(route: Route, request: IncomingMessage, caller: Caller): Promise<Answer> {
	if (route.bodyBytes === 0) return route.answer(null, caller);
	const text = await readJsonText(request, route.bodyBytes);
	if (!text.ok) return refused(text.problem.code === 'body-too-large' ? 413 : 400, text.problem.code);
	if (route.as === 'text') return route.answer(text.value, caller);
	const body = parseJson(text.value);
	if (!body.ok) return refused(400, body.problem.code);
	return route.answer(body.value, caller);
}
