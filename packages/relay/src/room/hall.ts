import type { Entry } from '@stillmast/formats/entry';
import { closeCodes } from '@stillmast/record/wire';
import type { WriterOptions } from '@stillmast/record/writer';
import type { Cancel, Clock, Log } from '../ports.js';
import type { Store } from '../store/store.js';
import { type StoreTrouble, troubleOf } from '../store/trouble.js';
import type { UpdateGuard } from './guard.js';
import { standardCloseCodes } from './peer-socket.js';
import { Room } from './room.js';

/** A room with nobody in it and nothing to write stays this long, for whoever comes back. */
const UNLOAD_AFTER_MS = 60_000;
/** Above this, rooms with nobody in them go without waiting for that. */
const MEMORY_MAX_BYTES = 512 * 1024 * 1024;
/** With this many store failures within a minute the host takes no more writes until a minute has gone by. */
const FAILURES_TO_REFUSE = 3;
const FAILURE_WINDOW_MS = 60_000;

export interface HallPorts {
	readonly store: Store;
	readonly guard: UpdateGuard;
	readonly pen: WriterOptions;
	readonly clock: Clock;
	readonly log: Log;
	/** What this process holds in memory, in bytes; its own by default. */
	readonly memoryBytes?: () => number;
}

/** `ready` · `reopening` after a failed write · `refusing` after the third within a minute */
export type StoreState = 'ready' | 'reopening' | 'refusing';

/** All records that are open here. */
export interface Hall {
	/** The room of a record, opened if need be; null when the record is not here. Throws when the store fails. */
	room(record: string): Promise<Room | null>;
	/** Opens a room for a record that is not here yet and puts its first entries into it; null when they were not kept. */
	found(record: string, entries: readonly Entry[]): Promise<Room | null>;
	readonly storeState: StoreState;
	/** Why the store last failed; null again as soon as it does what it failed at. */
	readonly storeTrouble: StoreTrouble | null;
	readonly openRooms: number;
	readonly connections: number;
	/** Closes every connection, then waits until everything is kept. */
	stop(): Promise<void>;
}

export function createHall(ports: HallPorts): Hall {
	const { clock, log, memoryBytes = () => process.memoryUsage.rss() } = ports;
	let trouble: StoreTrouble | null = null;
	const store: Store = {
		...ports.store,
		async append(write) {
			const heads = await ports.store.append(write);
			trouble = null;
			return heads;
		},
		async putBlob(blob) {
			await ports.store.putBlob(blob);
			trouble = null;
		},
		async load(record) {
			const stored = await ports.store.load(record);
			// A full disk can still be read.
			if (trouble !== 'disk-full') trouble = null;
			return stored;
		},
	};
	const rooms = new Map<string, Promise<Room | null>>();
	const open = new Map<string, Room>();
	let failures: number[] = [];
	let reopening: Promise<void> | null = null;
	let stopped = false;
	let cancelSweep: Cancel = () => undefined;

	function scheduleSweep(): void {
		cancelSweep = clock.after(UNLOAD_AFTER_MS / 2, () => {
			sweep();
			if (!stopped) scheduleSweep();
		});
	}

	const idleSince = new Map<string, number>();

	/**
	 * Unloads what has been idle for long enough, seen twice in a row so that a reconnect finds its room. With too much
	 * in memory the longest idle half goes at once, and with the next sweep half of the rest.
	 */
	function sweep(): void {
		const nowMs = clock.monotonicMs();
		const idle: { room: Room; sinceMs: number }[] = [];
		for (const [record, room] of open) {
			if (!room.idle) {
				idleSince.delete(record);
				continue;
			}
			const sinceMs = idleSince.get(record) ?? nowMs;
			idleSince.set(record, sinceMs);
			idle.push({ room, sinceMs });
		}
		const pressed = memoryBytes() > MEMORY_MAX_BYTES ? Math.ceil(idle.length / 2) : 0;
		idle
			.sort((a, b) => a.sinceMs - b.sinceMs)
			.forEach(({ room, sinceMs }, index) => {
				if (index >= pressed && nowMs - sinceMs < UNLOAD_AFTER_MS) return;
				const { record } = room;
				forget(record, room);
				room.close(standardCloseCodes.goingAway, 'unloaded');
				log({ level: 'info', event: 'unloaded', record });
			});
	}

	function forget(record: string, room: Room): void {
		if (open.get(record) !== room) return;
		open.delete(record);
		rooms.delete(record);
		idleSince.delete(record);
	}

	function storeFailed(record: string, error: unknown): void {
		// Several records that fail together, or while the store is being opened anew, are one failure.
		if (!reopening) {
			const nowMs = clock.monotonicMs();
			failures = [...failures.filter((atMs) => nowMs - atMs < FAILURE_WINDOW_MS), nowMs];
		}
		trouble = troubleOf(error);
		log({
			level: 'error',
			event: failures.length >= FAILURES_TO_REFUSE ? 'store-refuses-writes' : 'store-failed',
			record,
			trouble,
			reason: error instanceof Error ? error.message : String(error),
		});
		reopening ??= store
			.reopen()
			.catch((reason: unknown) => log({ level: 'error', event: 'store-not-reopened', reason: String(reason) }))
			.finally(() => {
				reopening = null;
			});
	}

	const refusing = () => {
		const nowMs = clock.monotonicMs();
		return failures.filter((atMs) => nowMs - atMs < FAILURE_WINDOW_MS).length >= FAILURES_TO_REFUSE;
	};

	async function load(record: string, mustBeHere: boolean): Promise<Room | null> {
		if (reopening) await reopening;
		const stored = await store.load(record);
		if (mustBeHere && stored.updates.length === 0 && stored.entries.length === 0) return null;
		const room: Room = await Room.load(record, stored, {
			...ports,
			store,
			onStoreFailure(error) {
				forget(record, room);
				storeFailed(record, error);
			},
		});
		open.set(record, room);
		return room;
	}

	/** One loading at a time for each record, shared by all who ask meanwhile. */
	function enter(record: string, mustBeHere: boolean): Promise<Room | null> {
		if (stopped) return Promise.reject(new Error('the host is stopping'));
		const known = rooms.get(record);
		if (known) return known;
		const loading = load(record, mustBeHere);
		rooms.set(record, loading);
		const drop = () => {
			if (rooms.get(record) === loading) rooms.delete(record);
		};
		loading.then(
			(room) => room ?? drop(),
			(error: unknown) => {
				drop();
				storeFailed(record, error);
			},
		);
		return loading;
	}

	function catchUp(room: Room): void {
		room.catchUp().catch((error: unknown) => {
			forget(room.record, room);
			room.close(closeCodes.storeTrouble, 'store trouble');
			storeFailed(room.record, error);
		});
	}

	store
		.listenElsewhere?.({
			onWrite(write) {
				open.get(write.record)?.takeElsewhere(write);
				// Committed while the record was being read: reading may have come too early for it.
				const loading = open.has(write.record) ? undefined : rooms.get(write.record);
				loading?.then(
					(room) => room?.takeElsewhere(write),
					() => undefined,
				);
			},
			onGap() {
				// A room that is being read now may be read too early as well.
				for (const loading of rooms.values()) {
					loading.then(
						(room) => room && catchUp(room),
						() => undefined,
					);
				}
			},
		})
		.catch((error: unknown) => log({ level: 'error', event: 'not-listening', reason: String(error) }));
	scheduleSweep();
	return {
		room: (record) => enter(record, true),
		async found(record, entries) {
			const room = (await enter(record, true)) ?? (await enter(record, false));
			return room && (await room.add(entries)) ? room : null;
		},
		get storeState() {
			if (refusing()) return 'refusing';
			return reopening ? 'reopening' : 'ready';
		},
		get storeTrouble() {
			return trouble;
		},
		get openRooms() {
			return open.size;
		},
		get connections() {
			return [...open.values()].reduce((sum, room) => sum + room.memberCount, 0);
		},
		async stop() {
			stopped = true;
			cancelSweep();
			const all = [...open.values()];
			for (const room of all) room.close(standardCloseCodes.restart, 'host restarts');
			await Promise.all(all.map((room) => room.settled()));
		},
	};
}
