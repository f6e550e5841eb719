// Devices at the other end of a host's sockets, stripped to what a bench counts.
import { once } from 'node:events';
import { encodeMessage, offeredProtocols, syncPath, ticketText } from '@stillmast/record/wire';
import { WebSocket } from 'ws';
import { readDelivery } from './lots.mjs';

const SYNC_UPDATE = 2;
const STORED = 101;

/**
 * A connection to `host` in the room of `record`.
 * `onDelivery(writer, index)`: an update of a lot came. `onStored(chain, seq)`: our host says a chain is kept so far.
 */
export async function connect(host, record, key, { onDelivery, onStored = () => undefined }) {
	const socket = host.ours ? await knock(host, record, key) : plainSocket(host, record);
	socket.binaryType = 'nodebuffer';
	socket.on('message', (frame) => {
		if (frame[0] === 0 && frame[1] === SYNC_UPDATE) {
			const { writer, index, count } = readDelivery(frame);
			for (let n = 0; n < count; n++) onDelivery(writer, index + n);
		} else if (frame[0] === STORED) readStored(frame, onStored);
	});
	socket.on('close', (code) => {
		if (code !== 1005 && code !== 1006 && code !== 1012) throw new Error(`the host closed with ${code}`);
	});
	await once(socket, 'open');
	socket.send(encodeMessage({ type: 'sync-step-1', stateVector: new Uint8Array([0]) }));
	return socket;
}

function plainSocket(host, record) {
	return new WebSocket(`${host.url.replace('http', 'ws')}/${record}`, { perMessageDeflate: false });
}

async function knock({ url }, record, key) {
	const post = async (path, body) => {
		const headers = { 'content-type': 'application/json' };
		return (await fetch(url + path, { method: 'POST', headers, body: JSON.stringify(body) })).json();
	};
	const { nonce } = await post('/api/nonce', {});
	const sig = await key.sign(ticketText(new URL(url).host, record, nonce));
	const { ticket } = await post('/api/ticket', { record, publicKey: key.publicKey, nonce, sig });
	const address = url.replace('http', 'ws') + syncPath(record);
	return new WebSocket(address, offeredProtocols(ticket), { origin: url, perMessageDeflate: false });
}

/** Heads of a `stored` message, read without the checks that cost a device nothing and a bench too much. */
function readStored(frame, onStored) {
	let at = 1;
	const number = () => {
		let value = 0;
		for (let scale = 1; ; scale *= 128) {
			const byte = frame[at++];
			value += (byte & 127) * scale;
			if (byte < 128) return value;
		}
	};
	const text = () => {
		const length = number();
		at += length;
		return frame.latin1Slice(at - length, at);
	};
	for (let left = number(); left > 0; left--) {
		const chain = text();
		const seq = number();
		text();
		onStored(chain, seq);
	}
}
