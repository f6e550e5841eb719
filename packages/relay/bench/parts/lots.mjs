// Signed entries made before any clock starts, as the frames that devices would send one after the other.
import { addEntries, createCarrier } from '@stillmast/record/carrier';
import { createKey, openKey } from '@stillmast/record/pen';
import { EntrySet } from '@stillmast/record/set';
import { encodeMessage } from '@stillmast/record/wire';
import { ChainWriter, openRecord } from '@stillmast/record/writer';

/** Numbers of the writers' documents begin here; `readDelivery` tells a writer by it. */
const FIRST_CLIENT = 1_000;

const random = (length) => crypto.getRandomValues(new Uint8Array(length));
const clock = { nowMs: Date.now, upMs: () => Math.round(performance.now()), clock: () => null };

export function must(result) {
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	return result.value;
}

/** A pen whose key may be enrolled in many records. */
export async function newPen() {
	return { key: openKey(await createKey(random)), random, clock, unlocked: 'by-code' };
}

/** A record that names `hosts`; answers with its id and first entries. */
export async function foundRecord(pen, hosts) {
	const aircraft = { registration: 'ZZ-OUZ', type: 'Ouzel 3', serial: '7' };
	const none = 'A'.repeat(43);
	const fields = { purpose: 'flight', role: 'engineer', name: 'bench', aircraft, card: none, typeData: none };
	const { set, writer } = must(await openRecord(pen, fields));
	for (const publicKey of hosts) {
		must(await writer.write('enrolled', { publicKey, role: 'host', name: 'host', invite: null }));
	}
	return { record: set.record, first: [...set.inOrder()] };
}

/** One writer's lot: `count` readings in a chain of its own, each as the frame of its update. */
export async function writeLot({ record, first }, pen, writerNumber, count) {
	const writer = new ChainWriter(new EntrySet(record, first), pen);
	const doc = createCarrier();
	doc.clientID = FIRST_CLIENT + writerNumber;
	const frames = [];
	doc.on('update', (update) => frames.push(Buffer.from(encodeMessage({ type: 'sync-update', update }))));
	for (let index = 0; index < count; index++) {
		const reading = { flight: 1, run: 1, subject: 'torquePct', value: index % 100, unit: '%' };
		addEntries(doc, [must(await writer.write('reading', reading))]);
	}
	return { chain: writer.chain, frames };
}

/** Of a frame that carries one writer's updates: whose, the number of the first, and how many. */
export function readDelivery(frame) {
	// type, step, length of the update; then number of clients (one here), number of structs, client, clock
	const length = readNumber(frame, 2);
	const count = readNumber(frame, length.next + 1);
	const client = readNumber(frame, count.next);
	return { writer: client.value - FIRST_CLIENT, index: readNumber(frame, client.next).value, count: count.value };
}

function readNumber(bytes, from) {
	let value = 0;
	let scale = 1;
	for (let at = from; ; at++) {
		const byte = bytes[at];
		value += (byte & 127) * scale;
		if (byte < 128) return { value, next: at + 1 };
		scale *= 128;
	}
}
