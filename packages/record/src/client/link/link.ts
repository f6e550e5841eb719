import type { Result } from '@stillmast/core/result';
import { offeredProtocols, syncPath } from '../../wire/index.js';
import type { Cancel, ClockPort, DevicePort, NetworkPort, RandomPort, Socket } from '../ports.js';
import { type AccessPen, type AccessProblem, fetchTicket, worthRetrying } from './access.js';
import { backoffMs } from './backoff.js';
import { readClosing } from './closing.js';
import { LINK_TIMES, type LinkState, type LinkTimes } from './state.js';

const TICK_MS = 1_000;
/** A link that held this long was a good one: the next attempt starts patient again. */
const GOOD_LINK_MS = 2_000;

export interface LinkPorts {
	readonly clock: ClockPort;
	readonly random: RandomPort;
	readonly network: NetworkPort;
	readonly device: DevicePort;
}

export interface LinkEvents {
	/** The socket is open; nothing has been sent or received on it. */
	readonly onOpen: (role: string) => void;
	readonly onFrame: (frame: Uint8Array) => void;
	/** The socket that was open is gone; frames sent on it may or may not have arrived. */
	readonly onDown: () => void;
	readonly onChange: () => void;
	/** A frame that makes the host answer. */
	readonly ping: () => Uint8Array;
	/** The host does not have the record: bring it there, if this device may. */
	readonly bringRecord: () => Promise<Result<void, AccessProblem>>;
}

export interface Link {
	readonly state: () => LinkState;
	/** Wall clock of the last sign of the host, `null` before the first. */
	readonly lastContactMs: () => number | null;
	/** False when there is no open socket; the frame is then dropped, and what it carried is found missing after the next sync. */
	readonly send: (frame: Uint8Array) => boolean;
	readonly bufferedBytes: () => number;
	/** Gives up the open socket and connects anew, with the usual pause. */
	readonly reconnect: () => void;
	/** Tries at once, also after `stopped`. */
	readonly retry: () => void;
	readonly close: () => void;
}

/**
 * Keeps one socket to the host, by a loop of its own: every connection fetches its own ticket, failures wait with
 * backoff, and a socket that says it is open but brings nothing is given up.
 */
export function startLink(
	ports: LinkPorts,
	record: string,
	pen: AccessPen,
	events: LinkEvents,
	times: LinkTimes = LINK_TIMES,
): Link {
	const { clock, network, device } = ports;
	let state: LinkState = { state: 'asking', attempt: 1 };
	let lastContactMs: number | null = null;
	let failures = 0;
	let wasOnline = device.online();
	/** Everything that belongs to the attempt under way; an attempt given up is no longer `current` and is not heard. */
	let current: Attempt | null = null;
	let cancelWaiting: Cancel = () => undefined;

	interface Attempt {
		socket: Socket | null;
		openedAt: number | null;
		heardAt: number;
		pingedAt: number;
		cancelTimer: Cancel;
	}

	const become = (next: LinkState) => {
		state = next;
		events.onChange();
	};

	const abandon = () => {
		cancelWaiting();
		const attempt = current;
		current = null;
		if (!attempt) return;
		attempt.cancelTimer();
		attempt.socket?.close();
		if (attempt.openedAt === null) return;
		if (clock.monotonicMs() - attempt.openedAt >= GOOD_LINK_MS) failures = 0;
		events.onDown();
	};

	const end = (closing: ReturnType<typeof readClosing>) => {
		abandon();
		failures += 1;
		if (closing.next === 'stop') {
			become({ state: 'stopped', problem: closing.problem });
			return;
		}
		// a ticket that was spent is nobody's fault, once; a host that spends every ticket is treated as out of order
		const delayMs = closing.next === 'at-once' && failures === 1 ? 0 : backoffMs(failures, ports.random);
		cancelWaiting = clock.after(delayMs, begin);
		become({ state: 'waiting', attempt: failures, problem: closing.problem });
	};

	const broken = (reason: string) => end(readClosing(1006, reason));

	const refused = (attempt: Attempt, problem: AccessProblem) => {
		if (attempt !== current) return;
		end({ next: worthRetrying(problem) ? 'later' : 'stop', problem });
	};

	const begin = () => {
		abandon();
		const now = clock.monotonicMs();
		const attempt: Attempt = {
			socket: null,
			openedAt: null,
			heardAt: now,
			pingedAt: now,
			cancelTimer: () => undefined,
		};
		current = attempt;
		attempt.cancelTimer = clock.after(times.openWithinMs, () => {
			if (attempt === current) broken('no answer');
		});
		become({ state: 'asking', attempt: failures + 1 });
		// a socket that the browser refuses to make, a key that will not sign: worth another attempt like any broken link
		void ask(attempt).catch((error: unknown) => {
			if (attempt === current) broken(String(error));
		});
	};

	const ask = async (attempt: Attempt) => {
		const asked = await fetchTicket(network, record, pen);
		if (attempt !== current) return;
		if (asked.ok) {
			openSocket(attempt, asked.value.ticket, asked.value.role);
			return;
		}
		if (asked.problem.code !== 'record-not-at-host') {
			refused(attempt, asked.problem);
			return;
		}
		const brought = await events.bringRecord();
		if (attempt !== current) return;
		if (brought.ok) begin();
		else refused(attempt, brought.problem);
	};

	const openSocket = (attempt: Attempt, ticket: string, role: string) => {
		become({ state: 'opening', attempt: failures + 1 });
		attempt.socket = network.connect(syncPath(record), offeredProtocols(ticket), {
			onOpen: () => {
				if (attempt !== current) return;
				attempt.cancelTimer();
				attempt.openedAt = clock.monotonicMs();
				heard(attempt);
				attempt.cancelTimer = clock.after(TICK_MS, () => watch(attempt));
				become({ state: 'open', role });
				events.onOpen(role);
			},
			onMessage: (frame) => {
				if (attempt !== current) return;
				heard(attempt);
				events.onFrame(frame);
			},
			onClose: (code, reason) => {
				if (attempt === current) end(readClosing(code, reason));
			},
		});
	};

	const heard = (attempt: Attempt) => {
		attempt.heardAt = clock.monotonicMs();
		lastContactMs = clock.nowMs();
	};

	const ping = (attempt: Attempt) => {
		attempt.pingedAt = clock.monotonicMs();
		attempt.socket?.send(events.ping());
	};

	/** Silence counts only after a ping: a hidden page whose timers sleep has not asked and must not conclude. */
	const watch = (attempt: Attempt) => {
		if (attempt !== current) return;
		const now = clock.monotonicMs();
		if (attempt.heardAt < attempt.pingedAt && now - attempt.heardAt >= times.deadAfterMs) {
			broken('silent');
			return;
		}
		if (now - attempt.pingedAt >= times.pingEveryMs) ping(attempt);
		attempt.cancelTimer = clock.after(TICK_MS, () => watch(attempt));
	};

	const cancelHints = device.onChange(() => {
		const online = device.online();
		const cameBack = online && !wasOnline;
		const wentAway = !online && wasOnline;
		wasOnline = online;
		if (state.state === 'stopped' || state.state === 'closed') return;
		if (wentAway && current) broken('offline');
		else if (current && state.state === 'open') ping(current);
		else if ((cameBack || device.visible()) && state.state === 'waiting') begin();
	});

	// not at once: whoever starts the link has to hold it before it calls back
	cancelWaiting = clock.after(0, begin);

	return {
		state: () => state,
		lastContactMs: () => lastContactMs,
		send: (frame) => {
			if (state.state !== 'open' || !current?.socket) return false;
			current.socket.send(frame);
			return true;
		},
		bufferedBytes: () => current?.socket?.bufferedBytes() ?? 0,
		reconnect: () => {
			if (current) broken('unreadable');
		},
		retry: () => {
			if (state.state === 'open') return;
			failures = 0;
			begin();
		},
		close: () => {
			cancelHints();
			abandon();
			state = { state: 'closed' };
		},
	};
}
