import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { FeedHead, FeedSample } from '@stillmast/formats/feed';
import type { PenKey } from '@stillmast/record/pen';
import { feedPath, offeredProtocols, ticketText } from '@stillmast/record/wire';
import { WebSocket } from 'ws';
import type { Recorded } from './trace-recorder.js';

/** With more than this unsent the source waits: memory stays bounded however slow the host is. */
const unsentBytesMax = 256 * 1024;
const lookAgainMs = 5;

export interface FeedTarget {
	/** Address of the host, such as `http://127.0.0.1:4300`. */
	readonly url: string;
	readonly record: string;
	readonly key: PenKey;
}

/** Lines of a feed on their way to a host. */
export interface FeedLink {
	/** Resolves when the next one may be sent. */
	send(sample: FeedSample): Promise<Result<void, Problem>>;
	/** Says that nothing more comes. @returns what the host has recorded */
	finish(): Promise<Result<Recorded, Problem>>;
	close(): void;
}

/**
 * Opens a feed to a host with a key that the record knows.
 * Problems: `host-unreachable`, what the host refused the ticket with, or what it closed the feed for.
 */
export async function openFeed(target: FeedTarget, head: FeedHead): Promise<Result<FeedLink, Problem>> {
	const ticket = await ticketFor(target);
	if (!ticket.ok) return ticket;
	const url = new URL(target.url);
	const socket = new WebSocket(
		`${url.protocol === 'https:' ? 'wss' : 'ws'}://${url.host}${feedPath(target.record)}`,
		offeredProtocols(ticket.value),
		{ origin: url.origin },
	);
	let recorded: Recorded | null = null;
	let isFinished = false;
	let problem: Problem | null = null;
	const closed = new Promise<void>((resolve) => {
		socket.on('close', (code, reason) => {
			if (!isFinished) problem ??= { code: 'feed-closed', found: `${code} ${reason.toString()}` };
			resolve();
		});
	});
	socket.on('message', (data) => {
		const line = JSON.parse(String(data)) as { recorded?: Recorded; end?: boolean; error?: Problem };
		if (line.error !== undefined) problem = line.error;
		if (line.recorded !== undefined) recorded = line.recorded;
		if (line.end === true) isFinished = true;
	});
	const opened = await new Promise<boolean>((resolve) => {
		socket.once('open', () => resolve(true));
		socket.once('error', () => resolve(false));
	});
	if (!opened) return fail({ code: 'host-unreachable', found: target.url });
	const line = (value: unknown) => socket.send(`${JSON.stringify(value)}\n`);
	line(head);
	return ok({
		async send(sample) {
			while (problem === null && socket.bufferedAmount > unsentBytesMax) await pause(lookAgainMs);
			if (problem !== null) return fail(problem);
			line(sample);
			return ok(undefined);
		},
		async finish() {
			if (problem === null) line({ end: true });
			await closed;
			if (problem !== null) return fail(problem);
			return ok(recorded ?? { rows: 0, entries: 0, gaps: 0, repeats: 0, backward: 0 });
		},
		close: () => socket.terminate(),
	});
}

async function ticketFor({ url, record, key }: FeedTarget): Promise<Result<string, Problem>> {
	const nonce = await post(url, '/api/nonce', {});
	if (!nonce.ok) return nonce;
	const word = String(nonce.value.nonce);
	const sig = await key.sign(ticketText(new URL(url).host, record, word));
	const ticket = await post(url, '/api/ticket', { record, publicKey: key.publicKey, nonce: word, sig });
	return ticket.ok ? ok(String(ticket.value.ticket)) : ticket;
}

/** Lets a new key into a record by an invitation's secret. @returns record and role */
export async function joinByInvite(
	url: string,
	secret: string,
	key: PenKey,
	name: string,
): Promise<Result<{ readonly record: string; readonly role: string }, Problem>> {
	const joined = await post(url, '/api/join', { secret, publicKey: key.publicKey, name });
	if (!joined.ok) return joined;
	return ok({ record: String(joined.value.record), role: String(joined.value.role) });
}

async function post(
	url: string,
	path: string,
	body: unknown,
): Promise<Result<Readonly<Record<string, unknown>>, Problem>> {
	try {
		const answer = await fetch(new URL(path, url), {
			method: 'POST',
			headers: { 'content-type': 'application/json' },
			body: JSON.stringify(body),
		});
		const said = (await answer.json()) as Readonly<Record<string, unknown>>;
		return answer.ok ? ok(said) : fail({ code: String(said.code ?? 'refused-by-host'), found: answer.status });
	} catch (error) {
		return fail({ code: 'host-unreachable', found: `${url}: ${String(error)}` });
	}
}

function pause(ms: number): Promise<void> {
	return new Promise((resolve) => setTimeout(resolve, ms));
}
