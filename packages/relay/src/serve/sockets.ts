import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { FRAME_BYTES_MAX, SUBPROTOCOL } from '@stillmast/record/wire';
import { type WebSocket, WebSocketServer } from 'ws';
import type { PeerSocket } from '../room/peer-socket.js';

/** Sign of life asked of every socket; one that has not answered by the next is gone. */
const PING_EVERY_MS = 20_000;
/** Frames beyond our own limit are still read up to here, to be answered with our code instead of the library's. */
const READ_BYTES_MAX = 16 * FRAME_BYTES_MAX;
/** A device that is out of reach would keep the host from stopping. */
const ANSWER_TO_CLOSE_MS = 1_000;
/** Longest reason that fits into a close frame, in bytes. */
const REASON_BYTES_MAX = 123;

export interface SocketDoor {
	/** Handles one HTTP upgrade. Paths that are not ours are left alone and answered with false. */
	upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): boolean;
	/** Closes every socket, gives the other sides a moment to answer, then lets go of those that do not. */
	stop(code: number, reason: string): Promise<void>;
}

export interface SocketDoorOptions {
	/** What stands before the record's id. */
	readonly path: string;
	/** Frames are text or bytes; a frame of the other kind is nothing of ours. */
	readonly carries: 'bytes' | 'text';
	/** Checked before the handshake, so that a foreign page never gets a socket at all. */
	readonly admits: (request: IncomingMessage) => boolean;
	/** Takes a socket that is open; everything after this point is refused by closing with a code. */
	readonly receive: (peer: PeerSocket, record: string, offered: readonly string[]) => void;
}

export function createSocketDoor({ path: before, carries, admits, receive }: SocketDoorOptions): SocketDoor {
	const server = new WebSocketServer({
		noServer: true,
		perMessageDeflate: false,
		maxPayload: READ_BYTES_MAX,
		// The ticket is never echoed.
		handleProtocols: (offered) => (offered.has(SUBPROTOCOL) ? SUBPROTOCOL : false),
	});
	const alive = new WeakSet<WebSocket>();
	const pinging = setInterval(() => {
		for (const socket of server.clients) {
			if (!alive.has(socket)) {
				socket.terminate();
				continue;
			}
			alive.delete(socket);
			socket.ping();
		}
	}, PING_EVERY_MS);
	pinging.unref();

	return {
		upgrade(request, socket, head) {
			const path = (request.url ?? '').split('?', 1)[0] ?? '';
			if (!path.startsWith(before)) return false;
			if (!admits(request)) {
				refuseHandshake(socket, 403, 'Forbidden');
				return true;
			}
			const record = path.slice(before.length);
			const offered = (request.headers['sec-websocket-protocol'] ?? '').split(',').map((protocol) => protocol.trim());
			server.handleUpgrade(request, socket, head, (webSocket) => {
				alive.add(webSocket);
				webSocket.on('pong', () => alive.add(webSocket));
				receive(peerOf(webSocket, socket, carries), record, offered);
			});
			return true;
		},
		async stop(code, reason) {
			clearInterval(pinging);
			const closed = [...server.clients].map((socket) => new Promise((resolve) => socket.once('close', resolve)));
			for (const socket of server.clients) socket.close(code, reason);
			let timer: NodeJS.Timeout | undefined;
			await Promise.race([
				Promise.all(closed),
				new Promise((resolve) => {
					timer = setTimeout(resolve, ANSWER_TO_CLOSE_MS);
				}),
			]);
			clearTimeout(timer);
			for (const socket of server.clients) socket.terminate();
			server.close();
		},
	};
}

function refuseHandshake(socket: Duplex, status: number, words: string): void {
	socket.on('error', () => undefined);
	socket.end(`HTTP/1.1 ${status} ${words}\r\nconnection: close\r\ncontent-length: 0\r\n\r\n`);
}

/** @param wire the connection beneath: what is sent in one turn of the event loop leaves in one call to the system */
function peerOf(socket: WebSocket, wire: Duplex, carries: SocketDoorOptions['carries']): PeerSocket {
	socket.binaryType = 'nodebuffer';
	let closed = false;
	let gathering = false;

	function gather(): void {
		if (gathering) return;
		gathering = true;
		wire.cork();
		setImmediate(() => {
			gathering = false;
			wire.uncork();
		});
	}

	return {
		send(frame) {
			if (closed || socket.readyState !== socket.OPEN) return;
			gather();
			socket.send(frame, { binary: carries === 'bytes' });
		},
		close(code, reason) {
			if (closed) return;
			closed = true;
			// A paused socket would never read the other side's answer to the close frame.
			socket.resume();
			socket.close(code, cutTo(reason, REASON_BYTES_MAX));
		},
		bufferedBytes: () => socket.bufferedAmount,
		pause: () => socket.pause(),
		resume: () => socket.resume(),
		listen({ onFrame, onClose }) {
			// Errors are followed by a close, which is what counts.
			socket.on('error', () => undefined);
			socket.on('message', (data: Buffer, isBinary: boolean) => {
				if (closed) return;
				// A frame of the other kind is nothing of ours; an empty one makes the reader refuse it by its own rule.
				onFrame(isBinary === (carries === 'bytes') ? data : new Uint8Array(0));
			});
			socket.on('close', () => {
				closed = true;
				onClose();
			});
		},
	};
}

function cutTo(text: string, bytesMax: number): string {
	let cut = text;
	while (Buffer.byteLength(cut) > bytesMax) cut = cut.slice(0, -1);
	return cut;
}
