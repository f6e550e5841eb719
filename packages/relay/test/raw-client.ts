import type { Entry } from '@stillmast/formats/entry';
import { addEntries, applyUpdate, createCarrier, readEntries, updateOf } from '@stillmast/record/carrier';
import type { NetworkPort } from '@stillmast/record/client';
import {
	decodeMessage,
	encodeMessage,
	FragmentAssembler,
	frames,
	offeredProtocols,
	ticketText,
	type WireMessage,
} from '@stillmast/record/wire';
import { WebSocket } from 'ws';
import type { Person } from './crew.js';

/** Answer of one access call. */
export interface Posted {
	readonly status: number;
	readonly body: Readonly<Record<string, unknown>>;
}

export async function post(
	url: string,
	path: string,
	body: unknown,
	headers: Record<string, string> = {},
): Promise<Posted> {
	const answer = await fetch(`${url}${path}`, {
		method: 'POST',
		headers: { 'content-type': 'application/json', ...headers },
		body: typeof body === 'string' ? body : JSON.stringify(body),
	});
	return { status: answer.status, body: (await answer.json()) as Posted['body'] };
}

/** What the client's own calls go through; without sockets. */
export function networkTo(url: string): NetworkPort {
	const nobody = { status: 0, body: null };
	return {
		hostName: new URL(url).host,
		get: () => Promise.resolve(nobody),
		post: (path, body) => post(url, path, body).catch(() => nobody),
		connect: () => {
			throw new Error('no sockets here');
		},
	};
}

/** Fields that prove who asks, with a fresh nonce. */
export async function proof(url: string, asked: string, who: Person): Promise<Record<string, string>> {
	const nonce = String((await post(url, '/api/nonce', {})).body.nonce);
	const sig = await who.key.sign(ticketText(new URL(url).host, asked, nonce));
	return { publicKey: who.key.publicKey, nonce, sig };
}

export async function askTicket(url: string, record: string, who: Person): Promise<Posted> {
	return post(url, '/api/ticket', { record, ...(await proof(url, record, who)) });
}

/** A client that sends what a test wants and hides nothing that comes back. */
export class RawClient {
	readonly doc = createCarrier();
	readonly received: WireMessage[] = [];
	closed: { readonly code: number; readonly reason: string } | null = null;
	readonly socket: WebSocket;
	readonly #assembler = new FragmentAssembler();
	readonly #watchers = new Set<() => void>();
	#fragmentId = 0;

	private constructor(socket: WebSocket) {
		this.socket = socket;
		socket.binaryType = 'nodebuffer';
		socket.on('message', (data: Buffer) => this.#read(new Uint8Array(data)));
		socket.on('close', (code, reason) => {
			this.closed = { code, reason: reason.toString() };
			this.#changed();
		});
		socket.on('error', () => undefined);
	}

	/** Connects with this ticket; the socket may be closed again at once by the host. */
	static async withTicket(url: string, record: string, ticket: string): Promise<RawClient> {
		const socket = new WebSocket(`${url.replace('http', 'ws')}/sync/${record}`, offeredProtocols(ticket), {
			origin: url,
		});
		const client = new RawClient(socket);
		await new Promise<void>((resolve, reject) => {
			socket.once('open', () => resolve());
			socket.once('error', reject);
		});
		return client;
	}

	static async enter(url: string, record: string, who: Person): Promise<RawClient> {
		const asked = await askTicket(url, record, who);
		if (asked.status !== 200) throw new Error(`no ticket: ${asked.status} ${JSON.stringify(asked.body)}`);
		return RawClient.withTicket(url, record, String(asked.body.ticket));
	}

	sendFrame(frame: Uint8Array): void {
		this.socket.send(frame);
	}

	send(message: WireMessage): void {
		const cut = frames(encodeMessage(message), ++this.#fragmentId);
		if (!cut.ok) throw new Error(cut.problem.code);
		for (const frame of cut.value) this.sendFrame(frame);
	}

	/** Entries as an update of a document of their own. */
	sendEntries(...entries: readonly Entry[]): void {
		this.send({ type: 'sync-update', update: updateOf(entries) });
	}

	/** Asks for all that this client does not have. */
	sync(): void {
		this.send({ type: 'sync-step-1', stateVector: new Uint8Array([0]) });
	}

	/** Resolves when `seen` holds; rejects with what came instead. */
	async until(seen: (client: RawClient) => boolean, what: string, withinMs = 15_000): Promise<void> {
		if (seen(this)) return;
		await new Promise<void>((resolve, reject) => {
			const watch = () => {
				if (!seen(this)) return;
				clearTimeout(timer);
				this.#watchers.delete(watch);
				resolve();
			};
			const timer = setTimeout(() => {
				this.#watchers.delete(watch);
				const kinds = this.received.map((message) => message.type).join(', ');
				reject(new Error(`waited for ${what}; closed ${JSON.stringify(this.closed)}; received ${kinds}`));
			}, withinMs);
			this.#watchers.add(watch);
		});
	}

	untilClosed(): Promise<void> {
		return this.until((client) => client.closed !== null, 'the close');
	}

	untilStored(entry: Entry): Promise<void> {
		return this.until((client) => client.hasStored(entry), `stored ${entry.seq}`);
	}

	untilShows(entry: Entry): Promise<void> {
		return this.until((client) => client.hashes().has(entry.hash), `entry ${entry.seq}`);
	}

	/** A round trip: everything sent before has been read by the host. */
	async settled(): Promise<void> {
		const n = ++this.#fragmentId;
		this.send({ type: 'ping', n, at: 0 });
		await this.until((client) => client.received.some((one) => one.type === 'pong' && one.n === n), 'pong');
	}

	hasStored(entry: Entry): boolean {
		return this.received.some(
			(message) =>
				message.type === 'stored' && message.heads.some(([chain, seq]) => chain === entry.chain && seq >= entry.seq),
		);
	}

	hashes(): ReadonlySet<string> {
		return new Set(readEntries(this.doc).entries.map((entry) => entry.hash));
	}

	add(...entries: readonly Entry[]): void {
		addEntries(this.doc, entries);
	}

	async leave(): Promise<void> {
		if (this.closed) return;
		this.socket.close();
		await this.untilClosed();
	}

	#read(frame: Uint8Array): void {
		const decoded = decodeMessage(frame);
		if (!decoded.ok) throw new Error(`the host sent something unreadable: ${decoded.problem.code}`);
		this.#take(decoded.value);
	}

	#take(message: WireMessage): void {
		if (message.type === 'fragment') {
			const whole = this.#assembler.add(message);
			if (!whole.ok) throw new Error(whole.problem.code);
			if (whole.value) this.#read(whole.value);
			return;
		}
		this.received.push(message);
		if (message.type === 'sync-step-2' || message.type === 'sync-update') applyUpdate(this.doc, message.update);
		this.#changed();
	}

	#changed(): void {
		for (const watch of [...this.#watchers]) watch();
	}
}
