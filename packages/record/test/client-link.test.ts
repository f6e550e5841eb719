import { ok } from '@stillmast/core/result';
import { describe, expect, it } from 'vitest';
import { backoffMs, type LinkState, startLink } from '../src/client/link/index.js';
import type { HttpAnswer, Socket, SocketHandlers } from '../src/client/ports.js';
import { closeCodes } from '../src/wire/index.js';
import { seededRandom, virtualClock } from './client-world/clock.js';
import { testDevice } from './client-world/device.js';

const PING = Uint8Array.of(107);

interface FakeSocket {
	readonly ticket: string;
	readonly path: string;
	readonly sent: Uint8Array[];
	readonly handlers: SocketHandlers;
	closed: boolean;
}

/** A host that hands out tickets one by one; the test plays its side of each socket. */
function world(settings: { readonly answer?: (path: string) => HttpAnswer | null; readonly bring?: boolean } = {}) {
	const clock = virtualClock();
	const device = testDevice();
	const sockets: FakeSocket[] = [];
	const posts: { path: string; body: unknown }[] = [];
	let tickets = 0;
	let autoOpen = true;
	let throws = false;
	const events = { opens: 0, downs: 0, frames: 0, changes: 0, brought: 0 };
	const network = {
		hostName: 'board.example',
		get: async (): Promise<HttpAnswer> => ({ status: 404, body: null }),
		post: async (path: string, body: unknown): Promise<HttpAnswer> => {
			posts.push({ path, body });
			const special = settings.answer?.(path);
			if (special) return special;
			if (path === '/api/nonce') return { status: 200, body: { nonce: `nonce-${posts.length}` } };
			return { status: 200, body: { ticket: `t${++tickets}`, role: 'pilot' } };
		},
		connect: (path: string, protocols: readonly string[], handlers: SocketHandlers): Socket => {
			if (throws) throw new DOMException('mixed content', 'SecurityError');
			const socket: FakeSocket = { path, ticket: protocols[1] ?? '', sent: [], handlers, closed: false };
			sockets.push(socket);
			if (autoOpen) clock.after(1, () => handlers.onOpen());
			return {
				send: (frame) => void socket.sent.push(frame),
				bufferedBytes: () => 0,
				close: () => {
					socket.closed = true;
				},
			};
		},
	};
	const link = startLink(
		{ clock, random: seededRandom(1), network, device },
		'record-1',
		{ publicKey: 'key-1', sign: async (text) => `signed:${text}` },
		{
			onOpen: () => void events.opens++,
			onFrame: () => void events.frames++,
			onDown: () => void events.downs++,
			onChange: () => void events.changes++,
			ping: () => PING,
			bringRecord: async () => {
				events.brought++;
				return ok(undefined);
			},
		},
	);
	const hold = () => {
		autoOpen = false;
	};
	const refuse = (next: boolean) => {
		throws = next;
	};
	return { clock, device, sockets, posts, events, link, hold, refuse };
}

const stateOf = (state: LinkState) => state.state;

describe('startLink(ports, record, pen, events)', () => {
	it('[DEV-20] fetches a fresh ticket for every connection and offers it as a subprotocol, never in the address', async () => {
		const { clock, sockets, posts, link } = world();
		await clock.pass(10);
		expect(stateOf(link.state())).toBe('open');
		expect(sockets[0]).toMatchObject({ path: '/sync/record-1', ticket: 'ticket.t1' });
		expect(posts[1]?.body).toEqual({
			record: 'record-1',
			publicKey: 'key-1',
			nonce: 'nonce-1',
			sig: 'signed:stillmast ticket v1\nboard.example\nrecord-1\nnonce-1',
		});
		sockets[0]?.handlers.onClose(1006, '');
		await clock.pass(1_000);
		expect(sockets.map((s) => s.ticket)).toEqual(['ticket.t1', 'ticket.t2']);
	});

	it('[DEV-21] an open socket that brings nothing is given up within 12 s, and the next one comes by itself', async () => {
		const { clock, sockets, events, link } = world();
		await clock.pass(10);
		let waited = 0;
		for (; stateOf(link.state()) === 'open' && waited < 20_000; waited += 100) await clock.pass(100);
		expect(waited).toBeLessThanOrEqual(12_000);
		expect(sockets[0]?.closed).toBe(true);
		expect(events.downs).toBe(1);
		await clock.pass(1_000);
		expect(sockets).toHaveLength(2);
		expect(stateOf(link.state())).toBe('open');
	});

	it('[DEV-21] pings every 5 s, and a host that answers is never given up', async () => {
		const { clock, sockets, link } = world();
		await clock.pass(10);
		for (let second = 0; second < 60; second++) {
			const socket = sockets[0];
			const sent = socket?.sent.length ?? 0;
			await clock.pass(1_000);
			if ((socket?.sent.length ?? 0) > sent) socket?.handlers.onMessage(Uint8Array.of(108));
		}
		expect(sockets).toHaveLength(1);
		expect(sockets[0]?.sent).toHaveLength(12);
		expect(stateOf(link.state())).toBe('open');
	});

	it('[DEV-21] a page whose timers slept concludes nothing before it has asked again', async () => {
		const { clock, sockets, link } = world();
		await clock.pass(10);
		await clock.pass(5_500);
		sockets[0]?.handlers.onMessage(Uint8Array.of(108));
		const pings = sockets[0]?.sent.length ?? 0;
		clock.sleep(60_000);
		await clock.pass(10);
		expect(sockets[0]?.sent).toHaveLength(pings + 1);
		expect(stateOf(link.state())).toBe('open');
	});

	it('[DEV-22] the device going offline drops the socket at once, coming back tries at once', async () => {
		const { clock, device, sockets, link } = world();
		await clock.pass(10);
		device.set({ online: false });
		expect(stateOf(link.state())).toBe('waiting');
		expect(sockets[0]?.closed).toBe(true);
		device.set({ online: true });
		await clock.pass(5);
		expect(stateOf(link.state())).toBe('open');
	});

	it('[DEV-22] goes on trying while the device says offline: the host may be this very machine', async () => {
		const { clock, device, sockets, link } = world();
		await clock.pass(10);
		device.set({ online: false });
		await clock.pass(2_000);
		expect(sockets).toHaveLength(2);
		expect(stateOf(link.state())).toBe('open');
	});

	it('[DEV-23] 4401, 4422 and 4413 stop the link and say why; retry() starts it again', async () => {
		for (const [code, problem] of [
			[closeCodes.notEnrolled, 'not-enrolled'],
			[closeCodes.refused, 'refused-by-host'],
			[closeCodes.tooBig, 'too-big-for-host'],
		] as const) {
			const { clock, sockets, link } = world();
			await clock.pass(10);
			sockets[0]?.handlers.onClose(code, 'why');
			await clock.pass(60_000);
			expect(link.state()).toEqual({ state: 'stopped', problem: { code: problem, found: `${code} why` } });
			expect(sockets).toHaveLength(1);
			link.retry();
			await clock.pass(10);
			expect(stateOf(link.state())).toBe('open');
		}
	});

	it('[DEV-23] 4501 fetches a new ticket at once, again and again only with pauses', async () => {
		const { clock, sockets } = world();
		await clock.pass(10);
		sockets[0]?.handlers.onClose(closeCodes.ticketSpent, '');
		await clock.pass(5);
		expect(sockets).toHaveLength(2);
		sockets[1]?.handlers.onClose(closeCodes.ticketSpent, '');
		await clock.pass(5);
		expect(sockets).toHaveLength(2);
		await clock.pass(1_000);
		expect(sockets).toHaveLength(3);
	});

	it('[DEV-23] 1013 and broken links come back with growing pauses, never longer than 4 s', async () => {
		const { clock, sockets, link } = world();
		await clock.pass(10);
		for (let n = 0; n < 12; n++) {
			sockets.at(-1)?.handlers.onClose(n % 2 === 0 ? closeCodes.storeTrouble : 1006, '');
			expect(stateOf(link.state())).toBe('waiting');
			await clock.pass(4_010);
			expect(sockets).toHaveLength(n + 2);
		}
	});

	it('[DEV-24] a ticket that cannot be fetched is tried again for ever; a refused one stops', async () => {
		let answer: HttpAnswer | null = { status: 0, body: null };
		const { clock, posts, link } = world({ answer: () => answer });
		await clock.pass(60_000);
		expect(posts.length).toBeGreaterThan(12);
		answer = { status: 503, body: null };
		await clock.pass(10_000);
		expect(link.state()).toMatchObject({ state: 'waiting', problem: { code: 'host-busy' } });
		answer = { status: 403, body: { code: 'revoked' } };
		await clock.pass(10_000);
		expect(link.state()).toEqual({ state: 'stopped', problem: { code: 'not-enrolled', found: '403 revoked' } });
	});

	it('[DEV-24] a host that does not answer at all is given up after 8 s and tried again', async () => {
		const { clock, sockets, link, hold } = world();
		hold();
		await clock.pass(7_900);
		expect(stateOf(link.state())).toBe('opening');
		await clock.pass(200);
		expect(stateOf(link.state())).toBe('waiting');
		await clock.pass(1_000);
		expect(sockets).toHaveLength(2);
	});

	it('[DEV-25] a record that the host does not have is brought there, then the ticket is asked for again', async () => {
		let known = false;
		const { clock, events, link } = world({
			answer: (path) => {
				if (path !== '/api/ticket' || known) return null;
				known = true;
				return { status: 404, body: { code: 'unknown-record' } };
			},
		});
		await clock.pass(20);
		expect(events.brought).toBe(1);
		expect(stateOf(link.state())).toBe('open');
	});

	it('[DEV-26] 500 cut and restored links leave one socket, one listener and no timer behind', async () => {
		const { clock, device, sockets, link } = world();
		for (let n = 0; n < 500; n++) {
			await clock.pass(50 + (n % 40) * 50);
			sockets.at(-1)?.handlers.onClose(1006, '');
			if (n % 3 === 0) device.set({ online: n % 2 === 0 });
		}
		await clock.pass(20);
		expect(device.listeners()).toBe(1);
		expect(clock.pending()).toBeLessThanOrEqual(2);
		link.close();
		expect(device.listeners()).toBe(0);
		const before = sockets.length;
		await clock.pass(60_000);
		expect(sockets).toHaveLength(before);
		expect(clock.pending()).toBe(0);
	});

	it('[DEV-24] a browser that throws instead of making a socket is asked again', async () => {
		const { clock, device, sockets, link, refuse } = world();
		refuse(true);
		await clock.pass(1_000);
		expect(link.state()).toMatchObject({ state: 'waiting', problem: { code: 'link-broken' } });
		refuse(false);
		device.set({ visible: true });
		await clock.pass(10);
		expect(sockets).toHaveLength(1);
		expect(stateOf(link.state())).toBe('open');
	});

	it('frames of an abandoned socket are not heard', async () => {
		const { clock, sockets, events } = world();
		await clock.pass(10);
		sockets[0]?.handlers.onClose(1006, '');
		await clock.pass(1_000);
		sockets[0]?.handlers.onMessage(Uint8Array.of(1));
		sockets[0]?.handlers.onClose(1006, '');
		expect(events.frames).toBe(0);
		expect(events.opens).toBe(2);
		expect(events.downs).toBe(1);
	});
});

describe('backoffMs(failures, random)', () => {
	it('lies between half and all of 0.5 s · 2^(failures − 1), at most 4 s', () => {
		for (let failures = 1; failures < 100; failures++) {
			const ceiling = Math.min(4_000, 500 * 2 ** (failures - 1));
			for (const byte of [0, 128, 255]) {
				const delay = backoffMs(failures, () => Uint8Array.of(byte));
				expect(delay).toBeGreaterThanOrEqual(ceiling / 2);
				expect(delay).toBeLessThanOrEqual(ceiling);
			}
		}
	});
});
