import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { ticketText } from '../../wire/index.js';
import type { HttpAnswer, NetworkPort } from '../ports.js';

/** Who asks for access: the pen's public key and its signature over a text. */
export interface AccessPen {
	readonly publicKey: string;
	/** Ed25519 over the UTF-8 bytes of `text`, base64url. */
	readonly sign: (text: string) => Promise<string>;
}

/** `host-unreachable` and `host-busy` are worth trying again; the others are the host's last word. */
export type AccessProblem = Problem & {
	readonly code:
		| 'host-unreachable'
		| 'host-busy'
		| 'host-answer-unreadable'
		| 'not-enrolled'
		/** The host takes new records only from people who are crew in one that it has. */
		| 'not-crew-here'
		| 'record-not-at-host'
		| 'invite-spent'
		| 'refused-by-host';
};

export interface Ticket {
	readonly ticket: string;
	readonly role: string;
}

/** True when the same request may succeed later without anybody doing anything. */
export function worthRetrying(problem: AccessProblem): boolean {
	return (
		problem.code === 'host-unreachable' || problem.code === 'host-busy' || problem.code === 'host-answer-unreadable'
	);
}

function problemOf(answer: HttpAnswer): AccessProblem {
	const said = textField(answer.body, 'code') ?? undefined;
	const found = said === undefined ? answer.status : `${answer.status} ${said}`;
	if (answer.status === 0) return { code: 'host-unreachable' };
	if (answer.status === 429 || answer.status >= 500) return { code: 'host-busy', found };
	if (said === 'not-crew-here') return { code: said };
	if (answer.status === 401 || answer.status === 403) return { code: 'not-enrolled', found };
	if (answer.status === 404) return { code: 'record-not-at-host', found };
	if (answer.status === 410) return { code: 'invite-spent', found };
	return { code: 'refused-by-host', found };
}

function textField(body: unknown, name: string): string | null {
	if (typeof body !== 'object' || body === null) return null;
	const value = (body as Readonly<Record<string, unknown>>)[name];
	return typeof value === 'string' ? value : null;
}

/** Posts and reads the named text fields of the answer. */
async function ask<K extends string>(
	network: NetworkPort,
	path: string,
	body: unknown,
	fields: readonly K[],
): Promise<Result<Readonly<Record<K, string>>, AccessProblem>> {
	return readAnswer(await network.post(path, body), fields);
}

function readAnswer<K extends string>(
	answer: HttpAnswer,
	fields: readonly K[],
): Result<Readonly<Record<K, string>>, AccessProblem> {
	if (answer.status < 200 || answer.status > 299) return fail(problemOf(answer));
	const read = {} as Record<K, string>;
	for (const field of fields) {
		const value = textField(answer.body, field);
		if (value === null) return fail({ code: 'host-answer-unreadable', needed: field, path: `$.${field}` });
		read[field] = value;
	}
	return ok(read);
}

/** One ticket for one socket; a ticket is spent by the first use and dies after a minute. */
export async function fetchTicket(
	network: NetworkPort,
	record: string,
	pen: AccessPen,
): Promise<Result<Ticket, AccessProblem>> {
	const asked = await ask(network, '/api/nonce', {}, ['nonce']);
	if (!asked.ok) return asked;
	const { nonce } = asked.value;
	const sig = await pen.sign(ticketText(network.hostName, record, nonce));
	return ask(network, '/api/ticket', { record, publicKey: pen.publicKey, nonce, sig }, ['ticket', 'role']);
}

export interface Joined {
	readonly record: string;
	readonly role: string;
	readonly name: string;
	readonly hostKey: string;
}

/** Exchanges an invite's secret for this pen's enrolment. */
export function postJoin(
	network: NetworkPort,
	secret: string,
	publicKey: string,
	name: string,
): Promise<Result<Joined, AccessProblem>> {
	return ask(network, '/api/join', { secret, publicKey, name }, ['record', 'role', 'name', 'hostKey']);
}

/** The host's own key: who it is, for enrolling it and for fingerprints on the invite page. */
export async function fetchHostKey(network: NetworkPort): Promise<Result<string, AccessProblem>> {
	const read = readAnswer(await network.get('/api/host'), ['publicKey']);
	return read.ok ? ok(read.value.publicKey) : read;
}

/** Brings a whole record to a host that does not have it. @param file text of a record file */
export async function postRecord(network: NetworkPort, file: string): Promise<Result<void, AccessProblem>> {
	const read = readAnswer(await network.post('/api/records', file), []);
	return read.ok ? ok(undefined) : read;
}
