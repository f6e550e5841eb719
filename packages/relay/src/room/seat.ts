import { createHash } from 'node:crypto';
import type { Role } from '@stillmast/formats/entry';
import { ENTRY_VERSION } from '@stillmast/formats/entry';
import { isDraftQuestion } from '@stillmast/record/carrier';
import {
	carriesUpdate,
	closeCodes,
	decodeMessage,
	encodeMessage,
	FRAME_BYTES_MAX,
	FragmentAssembler,
	frames,
	WIRE_VERSION,
	type WireMessage,
} from '@stillmast/record/wire';
import type { Clock, Log } from '../ports.js';
import type { Store } from '../store/store.js';
import type { Verdict } from './guard.js';
import type { Member } from './member.js';
import { createPace, type SeatLimits } from './pace.js';
import type { PeerSocket } from './peer-socket.js';
import type { Room } from './room.js';

/** A reader that lets more pile up than the largest message is too slow to keep: it comes back and syncs from there. */
const UNSENT_BYTES_MAX = 20 * 1024 * 1024;
/** With more than this unsent, what only shows the moment is dropped. */
const UNSENT_BYTES_FOR_PASSING = 256 * 1024;
/** Frames waiting to be worked off before reading pauses, and those left when it goes on. */
const BACKLOG_PAUSES_AT = 64;
const BACKLOG_RESUMES_AT = 16;

export interface SeatPorts {
	readonly store: Store;
	readonly clock: Clock;
	readonly log: Log;
	readonly build: string;
	readonly limits: SeatLimits;
}

export interface Visitor {
	/** Fingerprint of the key that asked for the ticket. */
	readonly key: string;
	readonly role: Role;
	/** False: update frames are dropped by their first bytes and counted. */
	readonly writes: boolean;
	/** May send live gauges: who may write the traces of them. */
	readonly feeds: boolean;
	/** Takes part in what is typed together. */
	readonly drafts: boolean;
}

interface Arrived {
	readonly frame: Uint8Array;
	/** Of an update that came in one frame. */
	readonly verdict: Promise<Verdict> | null;
}

/** Counts of what happened on one connection, for the log when it ends. */
interface Counts {
	frames: number;
	updates: number;
	droppedFromReader: number;
}

/**
 * Seats a visitor in a room: reads frames in order, one after the other, and answers each by its kind. Everything that
 * can never be accepted closes the socket with a code that says why; nothing a visitor sends reaches another unread.
 */
export function takeSeat(room: Room, socket: PeerSocket, visitor: Visitor, ports: SeatPorts): void {
	const { store, clock, log } = ports;
	const counts: Counts = { frames: 0, updates: 0, droppedFromReader: 0 };
	const assembler = new FragmentAssembler();
	const backlog: Arrived[] = [];
	const frameDelayMs = createPace(clock, ports.limits.frames);
	const byteDelayMs = createPace(clock, ports.limits.bytes);
	let working = false;
	let paused = false;
	let ended = false;
	let lastFragmentId = 0;
	let askedAgain = false;

	const member: Member = {
		key: visitor.key,
		send: (message) => member.sendEncoded(encodeMessage(message)),
		sendEncoded(bytes) {
			if (ended) return;
			const cut = frames(bytes, lastFragmentId + 1);
			if (!cut.ok) {
				member.close(closeCodes.tooBig, cut.problem.code);
				return;
			}
			if (cut.value.length > 1) lastFragmentId += 1;
			for (const frame of cut.value) socket.send(frame);
			if (socket.bufferedBytes() > UNSENT_BYTES_MAX) member.close(closeCodes.storeTrouble, 'too slow');
		},
		sendPassing(bytes) {
			if (socket.bufferedBytes() < UNSENT_BYTES_FOR_PASSING) member.sendEncoded(bytes);
		},
		close(code, reason) {
			if (ended) return;
			socket.close(code, reason);
			end(code, reason);
		},
	};

	function end(code: number | null, reason: string): void {
		if (ended) return;
		ended = true;
		backlog.length = 0;
		room.leave(member);
		log({ level: 'info', event: 'left', record: room.record, key: visitor.key, code, reason, ...counts });
	}

	socket.listen({
		onFrame(frame) {
			if (ended) return;
			counts.frames += 1;
			if (frame.length > FRAME_BYTES_MAX) {
				member.close(closeCodes.tooBig, 'frame too big');
				return;
			}
			backlog.push({ frame, verdict: judgedAhead(frame) });
			if (backlog.length >= BACKLOG_PAUSES_AT && !paused) {
				paused = true;
				socket.pause();
			}
			if (!working) void work();
		},
		onClose: () => end(null, 'gone'),
	});

	async function work(): Promise<void> {
		working = true;
		for (let next = backlog.shift(); next; next = backlog.shift()) {
			const { frame, verdict } = next;
			// Too fast is slowed down: what comes meanwhile waits in the network, and nothing is dropped.
			const delayMs = Math.max(frameDelayMs(1), byteDelayMs(frame.length));
			if (delayMs > 0) await new Promise<void>((resolve) => clock.after(delayMs, resolve));
			if (ended) break;
			try {
				await read(frame, verdict);
			} catch (error) {
				log({ level: 'error', event: 'frame-failed', record: room.record, reason: String(error) });
				member.close(closeCodes.refused, 'unreadable');
			}
			if (paused && backlog.length <= BACKLOG_RESUMES_AT) {
				paused = false;
				socket.resume();
			}
		}
		working = false;
	}

	/** Updates are judged while those before them are taken in; what becomes of them is still decided in order. */
	function judgedAhead(frame: Uint8Array): Promise<Verdict> | null {
		if (!visitor.writes || !carriesUpdate(frame)) return null;
		const decoded = decodeMessage(frame);
		if (!decoded.ok || !('update' in decoded.value)) return null;
		const verdict = room.judge(decoded.value.update);
		// Nobody may come to ask, when the connection ends before.
		verdict.catch(() => undefined);
		return verdict;
	}

	/** One frame, or what fragments were put together to. */
	async function read(bytes: Uint8Array, ahead: Promise<Verdict> | null, assembled = false): Promise<void> {
		if (!visitor.writes && carriesUpdate(bytes)) {
			counts.droppedFromReader += 1;
			return;
		}
		const decoded = decodeMessage(bytes);
		if (decoded.ok) {
			if (decoded.value.type === 'fragment') {
				if (assembled) refuse('fragment in fragments');
				else await readFragment(decoded.value);
			} else await answer(decoded.value, ahead);
			return;
		}
		// Kinds of a newer version, and those of stock clients that mean nothing here, are passed over.
		if (decoded.problem.code === 'unknown-message') return;
		if (decoded.problem.code === 'too-big') member.close(closeCodes.tooBig, 'message too big');
		else refuse('malformed');
	}

	async function readFragment(part: Extract<WireMessage, { type: 'fragment' }>): Promise<void> {
		const whole = assembler.add(part);
		if (!whole.ok) {
			if (whole.problem.code === 'too-big') member.close(closeCodes.tooBig, 'message too big');
			else refuse(whole.problem.code);
		} else if (whole.value) await read(whole.value, null, true);
	}

	async function answer(message: WireMessage, ahead: Promise<Verdict> | null): Promise<void> {
		switch (message.type) {
			case 'ping':
				member.sendPassing(encodeMessage({ type: 'pong', n: message.n, at: message.at, hostAt: clock.nowMs() }));
				return;
			case 'hello':
				member.send({
					type: 'hello',
					wire: WIRE_VERSION,
					entryRange: [1, ENTRY_VERSION],
					build: ports.build,
					role: visitor.role,
				});
				return;
			case 'sync-step-1': {
				const missing = room.missingFrom(message.stateVector);
				if (missing.ok) member.send({ type: 'sync-step-2', update: missing.value });
				else refuse('malformed state vector');
				return;
			}
			case 'sync-step-2':
			case 'sync-update':
				counts.updates += 1;
				await takeUpdate(message.update, await (ahead ?? room.judge(message.update)));
				return;
			case 'awareness':
				room.hearPresence(member, message.update);
				return;
			case 'query-awareness':
				room.sendPresence(member);
				return;
			case 'want':
				await sendBlobs(message.blobs);
				return;
			case 'have': {
				if (!visitor.writes) return;
				const here = new Set(await store.hasBlobs(room.record, message.blobs));
				const wanted = message.blobs.filter((hash) => !here.has(hash));
				if (here.size > 0) member.send({ type: 'have', blobs: [...here] });
				if (wanted.length > 0) member.send({ type: 'want', blobs: wanted });
				return;
			}
			case 'blob':
				await takeBlob(message.hash, message.bytes);
				return;
			case 'feed':
				if (visitor.feeds) room.hearFeed(message);
				return;
			case 'draft':
				// Whoever only reads may still ask for what the others have typed.
				if (visitor.drafts || isDraftQuestion(message.update)) room.hearDraft(member, message);
				else counts.droppedFromReader += 1;
				return;
			case 'stored':
			case 'pong':
			case 'fragment':
				// Said by the host only, or handled before.
				return;
		}
	}

	async function takeUpdate(update: Uint8Array, verdict: Verdict): Promise<void> {
		const accepted = await room.accept(update, verdict, member);
		if (accepted.ok) return;
		const { code } = accepted.problem;
		const path = 'path' in accepted.problem ? accepted.problem.path : undefined;
		if (code === 'key-unknown' && !askedAgain) {
			// The entry that names the key was written before: a full sync brings it along.
			askedAgain = true;
			room.askForMissing(member);
			return;
		}
		if (code === 'too-slow') {
			member.close(closeCodes.storeTrouble, 'host busy');
			return;
		}
		log({ level: 'warning', event: 'update-refused', record: room.record, key: visitor.key, code, path: path ?? '' });
		refuse(path === undefined ? code : `${code} at ${path}`);
	}

	/** A blob is kept under the hash that its bytes have, by the same people and in the same way as entries. */
	async function takeBlob(hash: string, bytes: Uint8Array): Promise<void> {
		if (!visitor.writes) {
			counts.droppedFromReader += 1;
			return;
		}
		if (createHash('sha256').update(bytes).digest('base64url') !== hash) {
			refuse('blob differs from its hash');
			return;
		}
		await room.keepBlob(hash, bytes);
	}

	async function sendBlobs(hashes: readonly string[]): Promise<void> {
		for (const hash of new Set(hashes)) {
			const bytes = await store.getBlob(room.record, hash);
			if (bytes) member.send({ type: 'blob', hash, bytes });
		}
	}

	function refuse(reason: string): void {
		member.close(closeCodes.refused, reason);
	}

	log({ level: 'info', event: 'entered', record: room.record, key: visitor.key, role: visitor.role });
	room.enter(member);
}
