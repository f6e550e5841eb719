import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { FeedSample } from '@stillmast/formats/feed';
import { readFeedLine } from '@stillmast/formats/feed';
import { closeCodes } from '@stillmast/record/wire';
import type { Clock, Log } from '../ports.js';
import type { Member } from '../room/member.js';
import { createPace, type PaceSize } from '../room/pace.js';
import type { PeerSocket } from '../room/peer-socket.js';
import type { Room } from '../room/room.js';
import { TraceRecorder } from './trace-recorder.js';

/** Lines of one feed: a flood is slowed down to this, and nothing of it is dropped. */
export const feedPace: PaceSize = { perSecond: 10_000, burst: 20_000 };

/** Lines worked off before the other connections have their turn. */
const linesInOneGo = 32;
/** Frames waiting to be worked off before reading pauses, and those left when it goes on. */
const backlogPausesAt = 8;
const backlogResumesAt = 2;

export interface FeedSourcePorts {
	readonly clock: Clock;
	readonly log: Log;
	readonly pace?: PaceSize;
}

/** Who sends: the key behind it, and whether it may write traces in this record. */
export interface FeedSender {
	readonly key: string;
	readonly mayRecord: boolean;
}

/**
 * Takes one feed in: text frames of whole lines (`stillmast/feed@1`). Each moment goes on to those who watch, thinned, and
 * every one is recorded. Answers with lines of JSON: `{"recorded": …}` after each kept minute and at the end,
 * `{"error": …}` before it closes for a fault. @rule FEED-1 FEED-2 FEED-3 FEED-9 FEED-10 FEED-11
 */
export function takeFeed(room: Room, socket: PeerSocket, sender: FeedSender, ports: FeedSourcePorts): void {
	const { clock, log } = ports;
	const delayMs = createPace(clock, ports.pace ?? feedPace);
	const backlog: Uint8Array[] = [];
	let recorder: TraceRecorder | null = null;
	let source = '';
	let lines = 0;
	let working = false;
	let paused = false;
	let ended = false;

	const say = (line: unknown) => socket.send(new TextEncoder().encode(`${JSON.stringify(line)}\n`));

	// In the room like anybody, so that it stays open and a revoked key loses its connection; nothing is sent to it.
	const member: Member = {
		key: sender.key,
		send: () => undefined,
		sendEncoded: () => undefined,
		sendPassing: () => undefined,
		close(code, reason) {
			if (ended) return;
			socket.close(code, reason);
			end();
		},
	};

	function end(): void {
		if (ended) return;
		ended = true;
		backlog.length = 0;
		void keepRest();
	}

	/** What came before the end is kept, whatever ended it. */
	async function keepRest(): Promise<void> {
		await recorder?.finish();
		room.leave(member);
		log({ level: 'info', event: 'feed-ended', record: room.record, key: sender.key, lines, ...recorder?.recorded });
	}

	async function refuse(problem: Problem): Promise<void> {
		if (ended) return;
		await recorder?.finish();
		say({ error: { ...problem, line: lines } });
		member.close(closeCodes.refused, problem.code);
	}

	socket.listen({
		onFrame(frame) {
			if (ended) return;
			backlog.push(frame);
			if (backlog.length >= backlogPausesAt && !paused) {
				paused = true;
				socket.pause();
			}
			if (!working) void work();
		},
		onClose: end,
	});

	async function work(): Promise<void> {
		working = true;
		for (let frame = backlog.shift(); frame; frame = backlog.shift()) {
			const text = new TextDecoder().decode(frame);
			for (const line of text.split('\n')) {
				if (line.trim() === '' || ended) continue;
				lines += 1;
				const waitMs = delayMs(1);
				if (waitMs > 0) await new Promise<void>((resolve) => clock.after(waitMs, resolve));
				const taken = await take(line);
				if (!taken.ok) await refuse(taken.problem);
				// whoever taps meanwhile is heard between the lines of a flood
				if (lines % linesInOneGo === 0) await new Promise<void>((resolve) => setImmediate(resolve));
			}
			if (paused && backlog.length <= backlogResumesAt) {
				paused = false;
				socket.resume();
			}
		}
		working = false;
	}

	async function take(text: string): Promise<Result<void, Problem>> {
		const line = readFeedLine(text);
		if (!line.ok) return line;
		switch (line.value.is) {
			case 'head': {
				const { head } = line.value;
				if (recorder !== null) return fail({ code: 'head-twice', path: '$.format' });
				const needed = room.trust.registration ?? '';
				if (head.registration !== needed)
					return fail({ code: 'other-registration', path: '$.registration', found: head.registration, needed });
				recorder = new TraceRecorder(room, head, clock);
				source = head.source;
				say({ recorded: recorder.recorded });
				return ok(undefined);
			}
			case 'sample':
				return recorder === null ? fail({ code: 'no-head', path: '$' }) : sample(recorder, line.value.sample);
			case 'end': {
				const kept = (await recorder?.finish()) ?? ok(undefined);
				if (!kept.ok) return kept;
				say({ recorded: recorder?.recorded ?? { rows: 0 }, end: true });
				member.close(1000, 'end');
				return ok(undefined);
			}
		}
	}

	async function sample(to: TraceRecorder, moment: FeedSample): Promise<Result<void, Problem>> {
		const { timeS, values, states = {} } = moment;
		room.hearFeed({ type: 'feed', source, registration: room.trust.registration ?? '', timeS, values, states });
		const keeping = to.push(moment);
		if (keeping === null) return ok(undefined);
		const kept = await keeping;
		if (kept.ok) say({ recorded: to.recorded });
		return kept;
	}

	room.enter(member);
	log({ level: 'info', event: 'feed-begun', record: room.record, key: sender.key });
	if (!sender.mayRecord) void refuse({ code: 'may-not-feed' });
}
