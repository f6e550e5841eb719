import { createHash } from 'node:crypto';
import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { FeedHead, FeedSample } from '@stillmast/formats/feed';
import { TraceMinutes, type TracePiece } from '@stillmast/formats/trace';
import type { Clock } from '../ports.js';
import type { Room } from '../room/room.js';

/** What is kept of a feed so far. */
export interface Recorded {
	readonly rows: number;
	readonly entries: number;
	readonly gaps: number;
	readonly repeats: number;
	readonly backward: number;
}

/** What recording needs of a room. */
export type RecordingRoom = Pick<Room, 'entries' | 'keepBlob' | 'write'>;

/**
 * Records one feed into its record: a `trace` entry of the host for each minute, its samples in blobs. Holds one minute,
 * and one more while the store is slow: then `push` resolves later, which slows the source down.
 */
export class TraceRecorder {
	readonly #room: RecordingRoom;
	readonly #head: FeedHead;
	readonly #clock: Clock;
	readonly #minutes: TraceMinutes;
	#beganMs: number;
	#keeping: Promise<Result<void, Problem>> = Promise.resolve(ok(undefined));
	#recorded: Recorded = { rows: 0, entries: 0, gaps: 0, repeats: 0, backward: 0 };

	constructor(room: RecordingRoom, head: FeedHead, clock: Clock) {
		this.#room = room;
		this.#head = head;
		this.#clock = clock;
		this.#minutes = new TraceMinutes(head.channels.length);
		this.#beganMs = clock.nowMs();
	}

	/** Rows whose entry is written. */
	get recorded(): Recorded {
		return this.#recorded;
	}

	/** @returns null while nothing has to be waited for, else when the next row may come */
	push({ timeS, values }: FeedSample): Promise<Result<void, Problem>> | null {
		const piece = this.#minutes.push(
			timeS,
			this.#head.channels.map(({ id }) => values[id] ?? null),
		);
		return piece === null ? null : this.#keepAfter(piece);
	}

	/** Writes what is held. */
	async finish(): Promise<Result<void, Problem>> {
		const piece = this.#minutes.flush();
		if (piece !== null) await this.#keepAfter(piece);
		return this.#keeping;
	}

	/** One piece is written at a time; a second one waits, the third is not asked for. */
	async #keepAfter(piece: TracePiece): Promise<Result<void, Problem>> {
		const startAt = new Date(this.#beganMs).toISOString();
		this.#beganMs = this.#clock.nowMs();
		const before = await this.#keeping;
		if (before.ok) this.#keeping = this.#keep(piece, startAt);
		return before;
	}

	async #keep({ startS, periodS, rows, chunks, faults }: TracePiece, startAt: string): Promise<Result<void, Problem>> {
		const hashes: string[] = [];
		for (const bytes of chunks) {
			const hash = createHash('sha256').update(bytes).digest('base64url');
			if (!(await this.#room.keepBlob(hash, bytes))) return fail({ code: 'store-trouble' });
			hashes.push(hash);
		}
		const { source, channels } = this.#head;
		const isFaulty = faults.gaps + faults.repeats + faults.backward > 0;
		const written = await this.#room.write('trace', {
			flight: flightNow(this.#room),
			feed: source,
			startAt,
			startS,
			periodS,
			rows,
			channels,
			chunks: hashes,
			...(isFaulty ? { faults } : {}),
		});
		if (!written.ok) return written;
		const { recorded } = this;
		this.#recorded = {
			rows: recorded.rows + rows,
			entries: recorded.entries + 1,
			gaps: recorded.gaps + faults.gaps,
			repeats: recorded.repeats + faults.repeats,
			backward: recorded.backward + faults.backward,
		};
		return ok(undefined);
	}
}

/** The flight opened last; 0 before the first. */
function flightNow({ entries }: RecordingRoom): number {
	return entries.inOrder().reduce((newest, entry) => {
		const { flight } = entry as { readonly flight?: unknown };
		return entry.kind === 'flight' && typeof flight === 'number' ? Math.max(newest, flight) : newest;
	}, 0);
}
