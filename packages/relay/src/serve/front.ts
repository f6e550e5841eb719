import type { Server as HttpServer } from 'node:http';
import { createServer, type Server, type Socket } from 'node:net';

/** First byte of every TLS connection (RFC 8446, a handshake record); no HTTP request begins with it. */
const TLS_HANDSHAKE = 22;
/** Whoever connects and says nothing is let go. */
const FIRST_BYTE_WITHIN_MS = 10_000;

/** One port for both: encrypted connections go to `secure`, plain ones to `plain`. */
export function createFront(secure: HttpServer, plain: HttpServer): Server {
	return createServer((socket: Socket) => {
		const silent = () => socket.destroy();
		socket.once('error', silent);
		socket.setTimeout(FIRST_BYTE_WITHIN_MS, silent);
		// Looked at without letting the data flow: the server that takes over reads it from the beginning.
		const look = () => {
			const first = socket.read(1) as Buffer | null;
			if (first === null) return;
			socket.off('readable', look);
			socket.off('error', silent);
			socket.setTimeout(0, silent);
			socket.unshift(first);
			(first[0] === TLS_HANDSHAKE ? secure : plain).emit('connection', socket);
		};
		socket.on('readable', look);
	});
}
