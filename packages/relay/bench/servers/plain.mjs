// The stock server's behaviour in the yjs 13 line, for those who have no copy of it: every document in memory, every
// update applied to it, what the document then emits sent to everyone in the room, the sender too; no check, no disk.
import { createServer } from 'node:http';
import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import { WebSocketServer } from 'ws';
import { readSyncMessage, writeSyncStep1, writeUpdate } from 'y-protocols/sync';
import * as Y from 'yjs';

const SYNC = 0;
const rooms = new Map();

function framed(write) {
	const out = encoding.createEncoder();
	encoding.writeVarUint(out, SYNC);
	write(out);
	return encoding.toUint8Array(out);
}

function enter(name) {
	const known = rooms.get(name);
	if (known) return known;
	const room = { doc: new Y.Doc(), sockets: new Set() };
	rooms.set(name, room);
	room.doc.on('update', (update) => {
		const frame = framed((out) => writeUpdate(out, update));
		for (const socket of room.sockets) socket.send(frame);
	});
	return room;
}

const server = createServer((_request, response) => response.end('ok'));
const door = new WebSocketServer({ server, perMessageDeflate: false });
door.on('connection', (socket, request) => {
	const { doc, sockets } = enter(request.url);
	sockets.add(socket);
	socket.on('close', () => sockets.delete(socket));
	socket.on('message', (data) => {
		const input = decoding.createDecoder(new Uint8Array(data));
		if (decoding.readVarUint(input) !== SYNC) return;
		const answer = framed((out) => readSyncMessage(input, out, doc, socket));
		if (answer.length > 1) socket.send(answer);
	});
	socket.send(framed((out) => writeSyncStep1(out, doc)));
});
process.once('SIGTERM', () => process.exit(0));
server.listen(0, '127.0.0.1', () => {
	process.stdout.write(`${JSON.stringify({ url: `http://127.0.0.1:${server.address().port}` })}\n`);
});
