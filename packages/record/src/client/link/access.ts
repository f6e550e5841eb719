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

/** Proves over a fresh nonce who asks, and posts with it. @param asked what the signature is over: a record's id */
async function askAs<K extends string>(
	{ network, pen, asked }: { readonly network: NetworkPort; readonly pen: AccessPen; readonly asked: string },
	path: string,
	body: object,
	fields: readonly K[],
): Promise<Result<Readonly<Record<K, string>>, AccessProblem>> {
	const given = await ask(network, '/api/nonce', {}, ['nonce']);
	if (!given.ok) return given;
	const { nonce } = given.value;
	const sig = await pen.sign(ticketText(network.hostName, asked, nonce));
	return ask(network, path, { ...body, publicKey: pen.publicKey, nonce, sig }, fields);
}

/** One ticket for one socket; a ticket is spent by the first use and dies after a minute. */
export function fetchTicket(
	network: NetworkPort,
	record: string,
	pen: AccessPen,
): Promise<Result<Ticket, AccessProblem>> {
	return askAs({ network, pen, asked: record }, '/api/ticket', { record }, ['ticket', 'role']);
}

/**
 * Has the host make an invitation for one person, in a role.
 * @param as `link`: a secret for a link's fragment, 12 hours; `spoken`: ten characters to be read out, ten minutes
 */
export async function postInvite(
	network: NetworkPort,
	record: string,
	pen: AccessPen,
	{ role, as }: { readonly role: string; readonly as: 'link' | 'spoken' },
): Promise<Result<string, AccessProblem>> {
	const who = { network, pen, asked: record };
	if (as === 'link') {
		const made = await askAs(who, '/api/invites', { record, role, uses: 1, hours: 12 }, ['secret']);
		return made.ok ? ok(made.value.secret) : made;
	}
	const made = await askAs(who, '/api/invites', { record, role, spoken: 'yes' }, ['code']);
	return made.ok ? ok(made.value.code) : made;
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
