import { randomBytes } from 'node:crypto';
import { mkdir } from 'node:fs/promises';
import type { AddressInfo, Server as NetServer } from 'node:net';
import { join } from 'node:path';
import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Entry, Role } from '@stillmast/formats/entry';
import { importRecord } from '@stillmast/record/file';
import { closeCodes, FEED_PATH, SYNC_PATH, ticketOf } from '@stillmast/record/wire';
import { type AccessLimits, accessLimits, createApi, type Grant, type JoinNews } from './access/api.js';
import { openHostKey } from './access/host-key.js';
import { createInvites } from './access/invites.js';
import { createAddressing } from './access/origins.js';
import { createPasses } from './access/passes.js';
import { visitorOf } from './access/visitor.js';
import { createWelcome } from './access/welcome.js';
import type { OwnAuthority } from './certificate/authority.js';
import { takeFeed } from './feed/feed-source.js';
import { answered, getRoute, refused } from './http/routes.js';
import { type Clock, type Log, type Random, systemClock } from './ports.js';
import { type AdoptProblem, adoptEntries, adoptFile } from './room/adopt.js';
import { startGuardThread } from './room/guard-thread.js';
import { createHall } from './room/hall.js';
import { type SeatLimits, seatLimits } from './room/pace.js';
import { type PeerSocket, standardCloseCodes } from './room/peer-socket.js';
import { takeSeat } from './room/seat.js';
import { createFront } from './serve/front.js';
import { createMetrics } from './serve/metrics.js';
import { createSocketDoor } from './serve/sockets.js';
import { createPlainWeb, serveTrust } from './serve/trust-page.js';
import { type Certificate, createWeb, type PageHandler } from './serve/web.js';
import { openSqliteStore } from './store/sqlite/sqlite-store.js';
import type { Store } from './store/store.js';

export interface RelayOptions {
	/** 0 takes any free port. */
	readonly port: number;
	/** Address to listen on; only this machine can reach it unless another is asked for. */
	readonly host?: string;
	/** Folder of the store; made when it is not there. */
	readonly dataDir: string;
	/** The one name in invitations, with a port when it is not the usual one. */
	readonly name?: string;
	/** Makes every address https; browsers keep pages and keys for use offline only then, or on this machine. */
	readonly certificate?: Certificate;
	/** Own authority in place of a certificate: a page without encryption then lets devices trust it. */
	readonly authority?: OwnAuthority;
	/** Serves the pages. */
	readonly board?: PageHandler;
	/** Whole origins that may open sockets here besides this host's own pages. */
	readonly origins?: readonly string[];
	/** Told of everybody who joins by an invitation, with the three words that their device shows too. */
	readonly onJoined?: (joined: JoinNews) => void;
	/** Shown to clients in `hello`. */
	readonly build?: string;
	readonly limits?: Partial<AccessLimits & SeatLimits>;
	readonly log?: Log;
	readonly clock?: Clock;
	readonly random?: Random;
	/** In place of the SQLite store in `dataDir`; closed by `stop`. */
	readonly store?: Store;
}

export interface Invitation {
	readonly secret: string;
	/** The secret stands in the fragment, which is sent to no server and kept in no log. */
	readonly url: string;
}

export interface Relay {
	readonly url: string;
	readonly port: number;
	/** The host's public key: a record that names it as host may be kept and passed on here. */
	readonly publicKey: string;
	/** For the first engineer, while nothing is kept here: whoever opens it may bring the first check. */
	readonly welcome: Invitation | null;
	/** Takes in entries of one record, founding it when it is not here yet; null, or why nothing was taken. */
	adopt(record: string, entries: readonly Entry[]): Promise<AdoptProblem | null>;
	/** Takes in a record file on the operator's word, whoever made it; the record's id. */
	importRecordFile(text: string): Promise<Result<string, Problem>>;
	createInvite(record: string, role: Role, uses: number, hours: number): Promise<Invitation>;
	/** Writes a whole copy of the store as an SQLite file that is not there yet, while everything goes on. */
	backup(path: string): Promise<void>;
	/** Closes connections with 1012, waits until everything is kept, closes the store. */
	stop(): Promise<void>;
}

/** Lives of a nonce and of a socket ticket. */
const PASS_LIFE_MS = 60_000;
const PASSES_OUTSTANDING = 10_000;

const systemRandom: Random = (length) => new Uint8Array(randomBytes(length));
const logToStderr: Log = (line) => {
	process.stderr.write(`${JSON.stringify({ at: new Date().toISOString(), ...line })}\n`);
};

/** Starts the host: pages, access and sync on one port. Rejects when the port or the store cannot be opened. */
export async function startRelay(options: RelayOptions): Promise<Relay> {
	const limits = { ...accessLimits, ...seatLimits, ...options.limits };
	const { clock = systemClock, random = systemRandom, host = '127.0.0.1', build = 'dev' } = options;
	const metrics = createMetrics({
		log: options.log ?? logToStderr,
		store: options.store ?? (await openStoreIn(options.dataDir)),
		clock,
	});
	const { log, store } = metrics;
	const hostKey = await openHostKey(store, random);
	const startedMs = clock.monotonicMs();
	const guard = startGuardThread({ clock, log });
	const hall = createHall({
		store,
		guard,
		pen: {
			key: hostKey,
			random,
			clock: { nowMs: clock.nowMs, upMs: () => Math.round(clock.monotonicMs() - startedMs), clock: () => null },
			unlocked: 'without-code',
		},
		clock,
		log,
	});
	const welcome = (await store.records()).length === 0 ? createWelcome({ clock, random }) : null;
	const invites = createInvites({ store, clock, random });
	const passOptions = { clock, random, lifeMs: PASS_LIFE_MS, limit: PASSES_OUTSTANDING };
	const nonces = createPasses<true>(passOptions);
	const tickets = createPasses<Grant>(passOptions);
	const { authority } = options;
	const certificate = authority?.host ?? options.certificate;
	const addressing = createAddressing({
		name: options.name,
		secure: certificate !== undefined,
		origins: options.origins ?? [],
	});

	/** The socket is open by now: whatever is wrong is said by a close code, which a browser can read. */
	async function receive(
		socket: PeerSocket,
		record: string,
		offered: readonly string[],
		as: 'member' | 'feed',
	): Promise<void> {
		// What the other side sends before it has a seat waits in the network.
		socket.pause();
		const word = ticketOf(offered);
		const grant = word === null ? null : tickets.take(word);
		if (!grant || grant.record !== record) {
			socket.close(closeCodes.ticketSpent, 'ticket spent');
			return;
		}
		if (hall.storeState !== 'ready') {
			socket.close(closeCodes.storeTrouble, 'store trouble');
			return;
		}
		const room = await hall.room(record);
		const visitor = room && visitorOf(room.trust, grant.key);
		if (!room || !visitor) {
			socket.close(closeCodes.notEnrolled, 'not enrolled');
			return;
		}
		if (as === 'feed') takeFeed(room, socket, { key: grant.key, mayRecord: visitor.feeds }, { clock, log });
		else takeSeat(room, socket, visitor, { store, clock, log, build, limits });
		socket.resume();
	}

	const doorTo = (path: string, carries: 'bytes' | 'text', as: 'member' | 'feed') =>
		createSocketDoor({
			path,
			carries,
			admits: ({ headers }) => addressing.allowsOrigin(headers.origin, headers.host ?? ''),
			receive(socket, record, offered) {
				receive(socket, record, offered, as).catch((error: unknown) => {
					log({ level: 'error', event: 'seat-failed', record, reason: String(error) });
					socket.close(closeCodes.storeTrouble, 'store trouble');
				});
			},
		});
	const doors = [doorTo(SYNC_PATH, 'bytes', 'member'), doorTo(FEED_PATH, 'text', 'feed')];
	const web = createWeb({
		routes: {
			...createApi({
				hall,
				store,
				host: hostKey,
				hostName: options.name ?? null,
				welcome,
				onJoined: options.onJoined,
				invites,
				nonces,
				tickets,
				clock,
				log,
				build,
				limits,
			}),
			'GET /health': getRoute(() =>
				hall.storeState === 'ready' && hall.storeTrouble === null
					? answered({ status: 'ok', rooms: hall.openRooms, connections: hall.connections })
					: refused(503, hall.storeTrouble ?? 'store-failed', { store: hall.storeState }),
			),
			'GET /metrics': getRoute(({ address }) =>
				isLoopback(address) ? answered(metrics.text(hall)) : refused(403, 'only-from-this-machine'),
			),
		},
		certificate,
		pages: authority ? trustBefore(authority, options.board) : options.board,
		addressing,
		clock,
		log,
	});
	const plain = authority ? createPlainWeb(authority, addressing) : null;
	const front: NetServer = plain ? createFront(web, plain) : web;
	web.on('upgrade', (request, socket, head) => {
		if (!doors.some((door) => door.upgrade(request, socket, head))) socket.destroy();
	});
	async function end(): Promise<void> {
		const socketsClosed = Promise.all(doors.map((door) => door.stop(standardCloseCodes.restart, 'host restarts')));
		await hall.stop();
		await guard.stop();
		await socketsClosed;
	}

	try {
		await listen(front, options.port, host);
	} catch (error) {
		await end();
		if (!options.store) await store.close();
		throw error;
	}
	const { port } = front.address() as AddressInfo;
	const scheme = certificate ? 'https' : 'http';
	const url = `${scheme}://${options.name ?? `${host.includes(':') ? `[${host}]` : host}:${port}`}`;
	log({ level: 'info', event: 'started', url });
	const invitation = (secret: string): Invitation => ({ secret, url: `${url}/join#${secret}` });

	return {
		url,
		port,
		publicKey: hostKey.publicKey,
		welcome: welcome && invitation(welcome.secret),
		adopt: (record, entries) => adoptEntries(hall, record, entries),
		async importRecordFile(text) {
			const read = await importRecord(text, null);
			if (!read.ok) return read;
			const problem = await adoptFile(hall, read.value);
			return problem ? fail(problem) : ok(read.value.record);
		},
		async createInvite(record, role, uses, hours) {
			const secret = await invites.create({ record, role, uses, hours });
			return invitation(secret);
		},
		backup: (path) => store.backup(path),
		async stop() {
			front.close();
			await end();
			await store.close();
			web.closeAllConnections();
			plain?.closeAllConnections();
			log({ level: 'info', event: 'stopped' });
		},
	};
}

function isLoopback(address: string): boolean {
	const bare = address.replace(/^::ffff:/, '');
	return bare === '::1' || bare.startsWith('127.');
}

async function openStoreIn(dataDir: string): Promise<Store> {
	await mkdir(dataDir, { recursive: true });
	return openSqliteStore(join(dataDir, 'records.sqlite'));
}

/** The page about trust stands before the board's own pages, and never without the others' security headers. */
function trustBefore(authority: OwnAuthority, board: PageHandler | undefined): PageHandler {
	return (request, response, next) => {
		if (serveTrust(authority, request, response)) return;
		if (board) board(request, response, next);
		else next?.();
	};
}

function listen(server: NetServer, port: number, host: string): Promise<void> {
	return new Promise((resolve, reject) => {
		server.once('error', reject);
		server.listen(port, host, () => {
			server.off('error', reject);
			resolve();
		});
	});
}
