import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { request } from 'node:http';
import { request as secureRequest } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { closeCodes, encodeMessage } from '@stillmast/record/wire';
import { afterEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import type { Clock } from '../src/ports.js';
import { startRelay } from '../src/relay.js';
import { adoptEntries } from '../src/room/adopt.js';
import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';
import { openCheck, person, remark, writerOf } from './crew.js';
import { type Hangar, openCrew, openHangar } from './hangar.js';
import { openRooms, until } from './in-process.js';
import { askTicket, post, RawClient } from './raw-client.js';

let hangar: Hangar;
afterEach(() => hangar?.close());

describe('startRelay(options)', () => {
	it('[RLY-61] every answer carries the security headers, pages included', async () => {
		hangar = await openHangar({
			board: (incoming, response, next) => {
				if (incoming.url !== '/page') return next?.();
				response.setHeader('content-security-policy', "default-src 'self'");
				response.end('page');
			},
		});
		for (const path of ['/health', '/api/host', '/api/nothing', '/nothing', '/page']) {
			const { headers } = await fetch(hangar.url + path);
			expect(headers.get('x-content-type-options')).toBe('nosniff');
			expect(headers.get('referrer-policy')).toBe('no-referrer');
			expect(headers.get('x-frame-options')).toBe('DENY');
		}
		const policy = async (path: string) => (await fetch(hangar.url + path)).headers.get('content-security-policy');
		expect(await policy('/health')).toBe("default-src 'none'; frame-ancestors 'none'");
		// The page's own policy passes through as it is.
		expect(await policy('/page')).toBe("default-src 'self'");
	});

	it('[RLY-61] refuses a body that is too large, no JSON, or no text', async () => {
		hangar = await openHangar();
		const attempt = (body: string | Uint8Array<ArrayBuffer>, type = 'application/json') =>
			fetch(`${hangar.url}/api/join`, { method: 'POST', body, headers: { 'content-type': type } });
		expect((await attempt('x'.repeat(5_000))).status).toBe(413);
		expect((await attempt('{"secret":')).status).toBe(400);
		expect((await attempt(new Uint8Array([0xff, 0xfe]))).status).toBe(400);
		expect((await attempt('{}', 'text/plain')).status).toBe(400);
		for (const body of ['null', '[]', '"x"', '{"secret":5,"publicKey":{"__proto__":1}}']) {
			expect((await attempt(body)).status).toBe(400);
		}
	});

	it('[RLY-61] stops reading a body that says it is small and goes on', async () => {
		hangar = await openHangar();
		const status = await new Promise<number>((resolve) => {
			const outgoing = request(
				`${hangar.url}/api/join`,
				{ method: 'POST', headers: { 'content-type': 'application/json', 'transfer-encoding': 'chunked' } },
				(response) => {
					response.resume();
					resolve(response.statusCode ?? 0);
				},
			);
			outgoing.on('error', () => undefined);
			const more = setInterval(() => outgoing.write('x'.repeat(1_000)), 1);
			outgoing.on('close', () => clearInterval(more));
		});
		expect(status).toBe(413);
	});

	it('[RLY-65] with a certificate every address is https, its sockets and origins too', async () => {
		const pem = (name: string) => readFile(new URL(`./certificate/${name}.pem`, import.meta.url), 'utf8');
		const [cert, key] = [await pem('cert'), await pem('key')];
		hangar = await openHangar({ certificate: { cert, key } });
		expect(hangar.url).toMatch(/^https:/);
		const { port } = hangar.relay;
		const headers = await new Promise<Record<string, unknown>>((resolve, reject) => {
			secureRequest({ host: '127.0.0.1', port, path: '/health', ca: cert }, (response) => {
				response.resume();
				resolve(response.headers);
			})
				.on('error', reject)
				.end();
		});
		expect(headers['strict-transport-security']).toBe('max-age=31536000');
		const handshake = (origin: string) =>
			new Promise<boolean>((resolve) => {
				const socket = new WebSocket(`wss://127.0.0.1:${port}/sync/x`, ['stillmast.1'], { ca: cert, origin });
				socket.on('open', () => resolve(true));
				socket.on('error', () => resolve(false));
			});
		expect(await handshake(`https://127.0.0.1:${port}`)).toBe(true);
		expect(await handshake(`http://127.0.0.1:${port}`)).toBe(false);
	});

	it('says 404 for what is not there and 405 for the wrong method', async () => {
		hangar = await openHangar();
		expect((await fetch(`${hangar.url}/api/nothing`)).status).toBe(404);
		expect((await fetch(`${hangar.url}/api/join`)).status).toBe(405);
		expect((await fetch(`${hangar.url}/`)).status).toBe(404);
	});

	it('rejects when the port is taken', async () => {
		hangar = await openHangar();
		const place = await mkdtemp(join(tmpdir(), 'stillmast-port-'));
		await expect(startRelay({ port: hangar.relay.port, dataDir: place, log: () => undefined })).rejects.toThrow(
			/EADDRINUSE/,
		);
		await rm(place, { recursive: true, force: true });
	});

	it('GET /health counts what is open', async () => {
		hangar = await openHangar();
		const crew = await openCrew(hangar);
		const client = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
		await client.settled();
		const health = await (await fetch(`${hangar.url}/health`)).json();
		expect(health).toMatchObject({ status: 'ok', rooms: 1, connections: 1 });
	});

	it('[RLY-64] GET /metrics counts commits and events, in text that monitoring reads', async () => {
		hangar = await openHangar();
		const crew = await openCrew(hangar);
		const client = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
		const entry = await remark(writerOf(crew.check, crew.pilot), 'counted');
		client.sendEntries(entry);
		await client.untilStored(entry);
		const text = await (await fetch(`${hangar.url}/metrics`)).text();
		expect(text).toMatch(/^stillmast_connections 1$/m);
		expect(text).toMatch(/^stillmast_commit_seconds_count 2$/m);
		expect(text).toMatch(/^stillmast_commit_seconds_bucket\{le="\+Inf"\} 2$/m);
		expect(text).toMatch(/^stillmast_events_total\{event="entered"\} 1$/m);
		expect(text.endsWith('# EOF\n')).toBe(true);
	});

	it('[RLY-6] a backup made while somebody writes is served by a host of its own', async () => {
		hangar = await openHangar();
		const crew = await openCrew(hangar);
		const client = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
		const writer = writerOf(crew.check, crew.pilot);
		const entry = await remark(writer, 'before the backup');
		client.sendEntries(entry);
		await client.untilStored(entry);
		const place = await mkdtemp(join(tmpdir(), 'stillmast-backup-'));
		const copied = hangar.relay.backup(join(place, 'records.sqlite'));
		for (let count = 0; count < 50; count++) client.sendEntries(await remark(writer, `meanwhile ${count}`));
		await copied;
		const restored = await openHangar({ dataDir: place });
		expect(restored.relay.publicKey).toBe(hangar.relay.publicKey);
		const reader = await RawClient.enter(restored.url, crew.check.record, crew.pilot);
		reader.sync();
		await reader.untilShows(entry);
		await restored.close();
		await rm(place, { recursive: true, force: true });
	});

	it('[RLY-62] logs no secret, ticket, nonce, name or text', async () => {
		hangar = await openHangar();
		const crew = await openCrew(hangar);
		const { secret } = await hangar.relay.createInvite(crew.check.record, 'pilot', 1, 1);
		const guest = await person('Guest with a name');
		await post(hangar.url, '/api/join', { secret, name: guest.name, publicKey: guest.key.publicKey });
		const ticket = String((await askTicket(hangar.url, crew.check.record, guest)).body.ticket);
		const client = await RawClient.withTicket(hangar.url, crew.check.record, ticket);
		client.sendEntries(await remark(writerOf(crew.check, guest), 'words that people wrote'));
		await client.settled();
		client.sendFrame(new Uint8Array([0, 2, 3, 1, 2, 3]));
		await client.untilClosed();
		await post(hangar.url, `/api/join?secret=${secret}`, { secret });
		const lines = JSON.stringify(hangar.log);
		expect(hangar.log.map((line) => line.event)).toEqual(
			expect.arrayContaining(['request', 'joined', 'entered', 'left']),
		);
		for (const word of [secret, ticket, guest.name, 'words that people wrote']) expect(lines).not.toContain(word);
	});

	it('[RLY-63] stop() closes sockets with 1012 and everything handed over is kept', async () => {
		hangar = await openHangar();
		const crew = await openCrew(hangar);
		const client = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
		const writer = writerOf(crew.check, crew.pilot);
		for (let count = 0; count < 30; count++) client.sendEntries(await remark(writer, `${count}`));
		await client.settled();
		await hangar.restart();
		await client.untilClosed();
		expect(client.closed?.code).toBe(1012);
		const again = await RawClient.enter(hangar.url, crew.check.record, crew.pilot);
		again.sync();
		await again.until((one) => one.hashes().size === crew.check.set.size, 'the whole record');
	});
});

describe('a room that nobody is in', () => {
	/** Timers run when the test says so. */
	function handClock(): Clock & { run(ms: number): void } {
		let nowMs = 0;
		const timers = new Set<{ atMs: number; work: () => void }>();
		return {
			nowMs: () => nowMs,
			monotonicMs: () => nowMs,
			after(delayMs, work) {
				const timer = { atMs: nowMs + delayMs, work };
				timers.add(timer);
				return () => void timers.delete(timer);
			},
			run(ms) {
				const endMs = nowMs + ms;
				for (;;) {
					const next = [...timers].sort((a, b) => a.atMs - b.atMs)[0];
					if (!next || next.atMs > endMs) break;
					timers.delete(next);
					nowMs = next.atMs;
					next.work();
				}
				nowMs = endMs;
			},
		};
	}

	it('[RLY-14] is unloaded a minute after the last has left, not before, and not while somebody is there', async () => {
		const place = await mkdtemp(join(tmpdir(), 'stillmast-rooms-'));
		const store = await openSqliteStore(join(place, 'records.sqlite'));
		const clock = handClock();
		const rooms = await openRooms(store, { clock });
		const socket = await rooms.seat();
		clock.run(300_000);
		expect(rooms.hall.openRooms).toBe(1);
		socket.drop();
		clock.run(59_000);
		expect(rooms.hall.openRooms).toBe(1);
		clock.run(62_000);
		expect(rooms.hall.openRooms).toBe(0);
		const back = await rooms.seat();
		await back.until((one) => one.says('stored'), 'the heads');
		expect(rooms.hall.openRooms).toBe(1);
		await rooms.hall.stop();
		await store.close();
		await rm(place, { recursive: true, force: true });
	});

	it('[RLY-14] with more than 512 MB in memory the longest idle go at once, half of them at a time, and never one in use', async () => {
		const place = await mkdtemp(join(tmpdir(), 'stillmast-memory-'));
		const store = await openSqliteStore(join(place, 'records.sqlite'));
		const clock = handClock();
		let megabytes = 500;
		const rooms = await openRooms(store, { clock, memoryBytes: () => megabytes * 1024 * 1024 });
		const socket = await rooms.seat();
		const others: string[] = [];
		for (let n = 0; n < 4; n++) {
			const check = await openCheck(await person(`creator ${n}`));
			expect(await adoptEntries(rooms.hall, check.record, check.set.inOrder())).toBeNull();
			others.push(check.record);
			if (n === 1) clock.run(30_000);
		}
		expect(rooms.hall.openRooms).toBe(5);
		megabytes = 600;
		clock.run(30_000);
		const unloaded = () => rooms.log.filter(({ event }) => event === 'unloaded').map(({ record }) => record);
		expect(unloaded()).toEqual(others.slice(0, 2));
		megabytes = 500;
		clock.run(29_000);
		expect(rooms.hall.openRooms).toBe(3);
		megabytes = 600;
		clock.run(600_000);
		expect(unloaded().sort()).toEqual([...others].sort());
		expect(rooms.hall.openRooms).toBe(1);
		expect(socket.closed).toBeNull();
		await rooms.hall.stop();
		await store.close();
		await rm(place, { recursive: true, force: true });
	});

	it('[RLY-14] stays while a write is on its way', async () => {
		const place = await mkdtemp(join(tmpdir(), 'stillmast-rooms-'));
		const real = await openSqliteStore(join(place, 'records.sqlite'));
		const clock = handClock();
		let letGo: () => void = () => undefined;
		let holding = false;
		const rooms = await openRooms(
			{
				...real,
				async append(write) {
					if (holding) await new Promise<void>((resolve) => (letGo = resolve));
					return real.append(write);
				},
			},
			{ clock },
		);
		holding = true;
		const socket = await rooms.seat();
		const entry = await remark(writerOf(rooms.check, rooms.pilot), 'slow disk');
		const room = await rooms.hall.room(rooms.check.record);
		void room?.add([entry]);
		socket.drop();
		clock.run(600_000);
		expect(rooms.hall.openRooms).toBe(1);
		letGo();
		await until(() => room?.idle === true, 'the write');
		clock.run(200_000);
		expect(rooms.hall.openRooms).toBe(0);
		expect((await real.load(rooms.check.record)).entries.map((row) => row.hash)).toContain(entry.hash);
		await rooms.hall.stop();
		await real.close();
		await rm(place, { recursive: true, force: true });
	});

	it('a reader that does not keep up is let go, and what only shows the moment is not piled up for it', async () => {
		const place = await mkdtemp(join(tmpdir(), 'stillmast-slow-'));
		const store = await openSqliteStore(join(place, 'records.sqlite'));
		const rooms = await openRooms(store);
		const slow = await rooms.seat({ key: rooms.engineer.key.fingerprint, role: 'engineer' });
		const room = await rooms.hall.room(rooms.check.record);
		await slow.until((one) => one.says('stored'), 'the heads');
		slow.unsentBytes = 1024 * 1024;
		room?.hearFeed({ type: 'feed', source: 'g', registration: 'ZZ-OUZ', timeS: 1, values: {}, states: {} });
		expect(slow.says('feed')).toBe(false);
		slow.unsentBytes = 64 * 1024 * 1024;
		await room?.add([await remark(rooms.check.writer, 'one more')]);
		expect(slow.closed?.code).toBe(closeCodes.storeTrouble);
		await rooms.hall.stop();
		await store.close();
		await rm(place, { recursive: true, force: true });
	});

	it('[RLY-25] who sends too fast is slowed down, reading pauses, and nothing is dropped', async () => {
		const place = await mkdtemp(join(tmpdir(), 'stillmast-pace-'));
		const store = await openSqliteStore(join(place, 'records.sqlite'));
		const clock = handClock();
		const rooms = await openRooms(store, { clock, limits: { frames: { perSecond: 10, burst: 20 } } });
		const socket = await rooms.seat();
		for (let n = 1; n <= 150; n++) socket.arrive(encodeMessage({ type: 'ping', n, at: 0 }));
		const answered = () => socket.messages().flatMap((message) => (message.type === 'pong' ? [message.n] : []));
		await until(() => answered().length === 20, 'the burst');
		expect(socket.paused).toBe(1);
		for (let step = 1; answered().length < 150; step++) {
			clock.run(1_000);
			await until(() => answered().length >= Math.min(150, 20 + 10 * step - 1), `second ${step}`);
			expect(answered().length).toBeLessThanOrEqual(20 + 10 * step + 1);
		}
		expect(answered()).toEqual(Array.from({ length: 150 }, (_, index) => index + 1));
		expect(socket.paused).toBe(0);
		await rooms.hall.stop();
		await store.close();
		await rm(place, { recursive: true, force: true });
	});
});
