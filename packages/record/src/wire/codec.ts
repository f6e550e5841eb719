import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { BYTES_8, BYTES_32, type Role, roles } from '@stillmast/formats/entry';
import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import { ASSEMBLED_BYTES_MAX, AWARENESS_BYTES_MAX, BLOB_BYTES_MAX, DRAFT_BYTES_MAX } from './access.js';
import { type ChainHead, type Feed, messageTypes, type WireMessage } from './message.js';

/** `unknown-message` may be passed over; `malformed` and `too-big` are for closing the socket. */
export interface WireProblem extends Problem {
	readonly code: 'malformed' | 'unknown-message' | 'too-big';
}

const SYNC_STEP_1 = 0;
const SYNC_STEP_2 = 1;
const SYNC_UPDATE = 2;
const LIST_MAX = 100_000;
const FEED_PARAMETERS_MAX = 256;
const TEXT_MAX = 128;

/** Bytes of one message, not yet split into frames (`fragments`). */
export function encodeMessage(message: WireMessage): Uint8Array {
	const out = encoding.createEncoder();
	const type = (n: number) => encoding.writeVarUint(out, n);
	switch (message.type) {
		case 'sync-step-1':
			type(messageTypes.sync);
			encoding.writeVarUint(out, SYNC_STEP_1);
			encoding.writeVarUint8Array(out, message.stateVector);
			break;
		case 'sync-step-2':
		case 'sync-update':
			type(messageTypes.sync);
			encoding.writeVarUint(out, message.type === 'sync-step-2' ? SYNC_STEP_2 : SYNC_UPDATE);
			encoding.writeVarUint8Array(out, message.update);
			break;
		case 'awareness':
			type(messageTypes.awareness);
			encoding.writeVarUint8Array(out, message.update);
			break;
		case 'query-awareness':
			type(messageTypes.queryAwareness);
			break;
		case 'hello':
			type(messageTypes.hello);
			encoding.writeVarUint(out, message.wire);
			encoding.writeVarUint(out, message.entryRange[0]);
			encoding.writeVarUint(out, message.entryRange[1]);
			encoding.writeVarString(out, message.build);
			encoding.writeVarString(out, message.role);
			break;
		case 'stored':
			type(messageTypes.stored);
			encoding.writeVarUint(out, message.heads.length);
			for (const [chain, seq, hash] of message.heads) {
				encoding.writeVarString(out, chain);
				encoding.writeVarUint(out, seq);
				encoding.writeVarString(out, hash);
			}
			break;
		case 'fragment':
			type(messageTypes.fragment);
			encoding.writeVarUint(out, message.id);
			encoding.writeVarUint(out, message.index);
			encoding.writeVarUint(out, message.count);
			encoding.writeVarUint8Array(out, message.bytes);
			break;
		case 'have':
		case 'want':
			type(messageTypes[message.type]);
			encoding.writeVarUint(out, message.blobs.length);
			for (const hash of message.blobs) encoding.writeVarString(out, hash);
			break;
		case 'blob':
			type(messageTypes.blob);
			encoding.writeVarString(out, message.hash);
			encoding.writeVarUint8Array(out, message.bytes);
			break;
		case 'feed':
			type(messageTypes.feed);
			writeFeed(out, message);
			break;
		case 'ping':
			type(messageTypes.ping);
			encoding.writeVarUint(out, message.n);
			encoding.writeFloat64(out, message.at);
			break;
		case 'pong':
			type(messageTypes.pong);
			encoding.writeVarUint(out, message.n);
			encoding.writeFloat64(out, message.at);
			encoding.writeFloat64(out, message.hostAt);
			break;
		case 'draft':
			type(messageTypes.draft);
			encoding.writeVarString(out, message.subject);
			encoding.writeVarUint8Array(out, message.update);
			break;
	}
	return encoding.toUint8Array(out);
}

/**
 * Strict reading of one message (a frame, or what fragments were put together to): nothing missing, no byte left over,
 * every text and count within its range, every number finite.
 */
export function decodeMessage(bytes: Uint8Array): Result<WireMessage, WireProblem> {
	if (bytes.length > ASSEMBLED_BYTES_MAX) {
		return fail({ code: 'too-big', found: bytes.length, needed: ASSEMBLED_BYTES_MAX });
	}
	const input = decoding.createDecoder(bytes);
	try {
		const message = readMessage(input);
		if (!message.ok) return message;
		return decoding.hasContent(input)
			? fail({ code: 'malformed', found: `${bytes.length - input.pos} bytes left over` })
			: message;
	} catch (error) {
		// lib0 throws on a short buffer, a number out of range and text that isn't UTF-8; so do the checks below.
		return fail({ code: 'malformed', found: error instanceof Error ? error.message : String(error) });
	}
}

/** Is this an update frame, told by its first two bytes? From roles that only read, such frames are dropped unread. */
export function carriesUpdate(frame: Uint8Array): boolean {
	return frame[0] === messageTypes.sync && (frame[1] === SYNC_STEP_2 || frame[1] === SYNC_UPDATE);
}

function readMessage(input: decoding.Decoder): Result<WireMessage, WireProblem> {
	const type = decoding.readVarUint(input);
	switch (type) {
		case messageTypes.sync:
			return readSync(input);
		case messageTypes.awareness: {
			const update = decoding.readVarUint8Array(input);
			return update.length > AWARENESS_BYTES_MAX
				? fail({ code: 'too-big', found: update.length, needed: AWARENESS_BYTES_MAX })
				: ok({ type: 'awareness', update });
		}
		case messageTypes.queryAwareness:
			return ok({ type: 'query-awareness' });
		case messageTypes.hello: {
			const wire = decoding.readVarUint(input);
			const entryRange = [decoding.readVarUint(input), decoding.readVarUint(input)] as const;
			return ok({ type: 'hello', wire, entryRange, build: readText(input), role: readRole(input) });
		}
		case messageTypes.stored: {
			const heads = readList(input, (): ChainHead => {
				const chain = readMatching(input, BYTES_8);
				const seq = decoding.readVarUint(input);
				return [chain, seq, readMatching(input, BYTES_32)];
			});
			return ok({ type: 'stored', heads });
		}
		case messageTypes.fragment: {
			const id = decoding.readVarUint(input);
			const index = decoding.readVarUint(input);
			const count = decoding.readVarUint(input);
			return ok({ type: 'fragment', id, index, count, bytes: decoding.readVarUint8Array(input) });
		}
		case messageTypes.have:
			return ok({ type: 'have', blobs: readList(input, () => readMatching(input, BYTES_32)) });
		case messageTypes.want:
			return ok({ type: 'want', blobs: readList(input, () => readMatching(input, BYTES_32)) });
		case messageTypes.blob: {
			const hash = readMatching(input, BYTES_32);
			const bytes = decoding.readVarUint8Array(input);
			return bytes.length > BLOB_BYTES_MAX
				? fail({ code: 'too-big', found: bytes.length, needed: BLOB_BYTES_MAX })
				: ok({ type: 'blob', hash, bytes });
		}
		case messageTypes.feed:
			return ok(readFeed(input));
		case messageTypes.ping:
			return ok({ type: 'ping', n: decoding.readVarUint(input), at: readFinite(input) });
		case messageTypes.pong: {
			const n = decoding.readVarUint(input);
			const at = readFinite(input);
			return ok({ type: 'pong', n, at, hostAt: readFinite(input) });
		}
		case messageTypes.draft: {
			const subject = readText(input);
			const update = decoding.readVarUint8Array(input);
			return update.length > DRAFT_BYTES_MAX
				? fail({ code: 'too-big', found: update.length, needed: DRAFT_BYTES_MAX })
				: ok({ type: 'draft', subject, update });
		}
		default:
			return fail({ code: 'unknown-message', found: type });
	}
}

function readSync(input: decoding.Decoder): Result<WireMessage, WireProblem> {
	const step = decoding.readVarUint(input);
	const bytes = decoding.readVarUint8Array(input);
	switch (step) {
		case SYNC_STEP_1:
			return ok({ type: 'sync-step-1', stateVector: bytes });
		case SYNC_STEP_2:
			return ok({ type: 'sync-step-2', update: bytes });
		case SYNC_UPDATE:
			return ok({ type: 'sync-update', update: bytes });
		default:
			return fail({ code: 'malformed', found: step, needed: 'sync step 0, 1 or 2' });
	}
}

function writeFeed(out: encoding.Encoder, feed: Feed): void {
	encoding.writeVarString(out, feed.source);
	encoding.writeVarString(out, feed.registration);
	encoding.writeFloat64(out, feed.timeS);
	const values = Object.entries(feed.values);
	encoding.writeVarUint(out, values.length);
	for (const [id, value] of values) {
		encoding.writeVarString(out, id);
		encoding.writeFloat64(out, value);
	}
	const states = Object.entries(feed.states);
	encoding.writeVarUint(out, states.length);
	for (const [id, state] of states) {
		encoding.writeVarString(out, id);
		encoding.writeVarString(out, state);
	}
}

function readFeed(input: decoding.Decoder): Feed {
	const source = readText(input);
	const registration = readText(input);
	const timeS = readFinite(input);
	const values = readList(input, (): [string, number] => [readText(input), readFinite(input)], FEED_PARAMETERS_MAX);
	const states = readList(input, (): [string, string] => [readText(input), readText(input)], FEED_PARAMETERS_MAX);
	return {
		type: 'feed',
		source,
		registration,
		timeS,
		values: Object.fromEntries(values),
		states: Object.fromEntries(states),
	};
}

function readList<T>(input: decoding.Decoder, read: () => T, max = LIST_MAX): T[] {
	const count = decoding.readVarUint(input);
	// Each item takes a byte at least: a count beyond the bytes left is refused before anything is allocated.
	if (count > max || count > input.arr.length - input.pos) throw new RangeError(`list of ${count}`);
	return Array.from({ length: count }, read);
}

function readText(input: decoding.Decoder): string {
	const text = decoding.readVarString(input);
	if (text.length > TEXT_MAX) throw new RangeError(`text of ${text.length} characters`);
	return text;
}

function readMatching(input: decoding.Decoder, pattern: RegExp): string {
	const text = readText(input);
	if (!pattern.test(text)) throw new RangeError(`not in base64url of the right length: ${text.slice(0, 50)}`);
	return text;
}

function readFinite(input: decoding.Decoder): number {
	const value = decoding.readFloat64(input);
	if (!Number.isFinite(value)) throw new RangeError('number not finite');
	return value;
}

function readRole(input: decoding.Decoder): Role {
	const text = readText(input);
	const role = roles.find((known) => known === text);
	if (role === undefined) throw new RangeError(`unknown role ${text.slice(0, 50)}`);
	return role;
}
