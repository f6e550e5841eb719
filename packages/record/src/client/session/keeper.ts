import type { Problem } from '@stillmast/core/result';
import type { Cancel, ClockPort } from '../ports.js';
import type { EntryText, LocalStore } from '../store/index.js';

/** A store that has not answered by then counts as failed for now: the entry must not wait for it on its way out. */
const SILENT_AFTER_MS = 3_000;
const TRY_AGAIN_MS = 5_000;
const TRY_AGAIN_MOST_MS = 60_000;

/** `kept`: the disk has it. `unkept`: it failed or says nothing; it is tried again as long as the session lives. */
export type Kept = 'kept' | 'unkept';

export interface Keeper {
	/** One transaction; answers as soon as it is known, at the latest when the store has been silent for 3 s. */
	readonly keep: (entries: readonly EntryText[]) => Promise<Kept>;
	/** Trouble of the latest attempt, `null` once everything is on the disk. */
	readonly problem: () => Problem | null;
	readonly close: () => void;
}

/**
 * Puts entries on the disk, and goes on trying for those it could not.
 * @param onKept hashes that are on the disk now, whether at once or after all
 */
export function keeper(
	store: LocalStore,
	clock: ClockPort,
	record: string,
	onKept: (hashes: readonly string[]) => void,
): Keeper {
	const unkept = new Map<string, EntryText>();
	let problem: Problem | null = null;
	let cancelAgain: Cancel | null = null;
	let tries = 0;
	let closed = false;

	const again = () => {
		cancelAgain = null;
		tries += 1;
		if (unkept.size > 0) void attempt([...unkept.values()]);
		plan();
	};

	const plan = () => {
		if (closed || unkept.size === 0) return;
		// less and less often: behind an attempt that never answers, others only queue
		cancelAgain ??= clock.after(Math.min(TRY_AGAIN_MOST_MS, TRY_AGAIN_MS * 2 ** tries), again);
	};

	const attempt = async (entries: readonly EntryText[]): Promise<Kept> => {
		const added = await store.addEntries(record, entries);
		if (!added.ok) {
			problem = added.problem;
			for (const entry of entries) unkept.set(entry.hash, entry);
			plan();
			return 'unkept';
		}
		for (const entry of entries) unkept.delete(entry.hash);
		tries = 0;
		if (unkept.size === 0) problem = null;
		onKept(entries.map((entry) => entry.hash));
		return 'kept';
	};

	return {
		keep: (entries) =>
			new Promise((resolve) => {
				const cancelSilent = clock.after(SILENT_AFTER_MS, () => {
					problem = { code: 'store-silent', found: SILENT_AFTER_MS };
					for (const entry of entries) unkept.set(entry.hash, entry);
					plan();
					resolve('unkept');
				});
				// what could not be kept before comes along: no chain on this disk has a hole that a crash would leave for good
				void attempt([...unkept.values(), ...entries]).then((kept) => {
					cancelSilent();
					resolve(kept);
				});
			}),
		problem: () => problem,
		close: () => {
			closed = true;
			cancelAgain?.();
		},
	};
}
