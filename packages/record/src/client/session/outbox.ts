import { encodeMessage, frames, type WireMessage } from '../../wire/index.js';
import type { Cancel, ClockPort } from '../ports.js';

/** Most bytes handed to the socket ahead of the network; beyond, a ping would wait behind minutes of data. */
const BUFFERED_BYTES_MAX = 512 * 1024;
const LOOK_AGAIN_MS = 25;

export interface Outbox {
	/** Splits, queues and sends in order. What is queued when the link breaks is dropped: the next sync finds it missing. */
	readonly push: (message: WireMessage) => void;
	/** For what may wait: goes, one message at a time, when nothing else is waiting. */
	readonly pushLater: (message: WireMessage) => void;
	readonly clear: () => void;
	readonly idle: () => boolean;
}

export function outbox(
	clock: ClockPort,
	socket: { readonly send: (frame: Uint8Array) => boolean; readonly bufferedBytes: () => number },
): Outbox {
	let waiting: Uint8Array[] = [];
	let later: WireMessage[] = [];
	let fragmentId = 0;
	let cancelLook: Cancel | null = null;

	const split = (message: WireMessage): Uint8Array[] => {
		fragmentId += 1;
		const cut = frames(encodeMessage(message), fragmentId);
		// callers keep batches far below the limit of 16 MiB
		if (!cut.ok) throw new RangeError(`message of ${String(cut.problem.found)} bytes`);
		return cut.value;
	};

	/** False when the socket takes no more for now. */
	const sendWaiting = (): boolean => {
		let sent = 0;
		for (const frame of waiting) {
			if (socket.bufferedBytes() >= BUFFERED_BYTES_MAX || !socket.send(frame)) break;
			sent += 1;
		}
		waiting = waiting.slice(sent);
		return waiting.length === 0;
	};

	const drain = () => {
		cancelLook?.();
		cancelLook = null;
		while (sendWaiting()) {
			const next = later.shift();
			if (!next) return;
			waiting = split(next);
		}
		cancelLook = clock.after(LOOK_AGAIN_MS, drain);
	};

	return {
		push: (message) => {
			waiting.push(...split(message));
			if (!cancelLook) drain();
		},
		pushLater: (message) => {
			later.push(message);
			if (!cancelLook) drain();
		},
		clear: () => {
			cancelLook?.();
			cancelLook = null;
			waiting = [];
			later = [];
			fragmentId = 0;
		},
		idle: () => waiting.length === 0 && later.length === 0,
	};
}
