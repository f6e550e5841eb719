import type { Feed } from '@stillmast/record/wire';
import type { Cancel, Clock } from '../ports.js';

/** At most 25 moments a second of one source go on to those who watch. */
const LEAST_GAP_MS = 40;
/** Sources of one record; a helicopter has a few, and each is remembered. */
const SOURCES_MAX = 16;

/**
 * Thins live gauges: a moment that comes too soon waits, and a newer one of the same source takes its place. A gauge that
 * the newer one does not have keeps its value of the moment before: a slow gauge must not fall between two moments.
 */
export interface FeedGate {
	offer(feed: Feed): void;
	stop(): void;
}

interface SourceState {
	lastMs: number;
	waiting: Feed | null;
	cancel: Cancel;
}

export function createFeedGate(clock: Clock, forward: (feed: Feed) => void): FeedGate {
	const sources = new Map<string, SourceState>();

	function send(state: SourceState, feed: Feed): void {
		state.lastMs = clock.monotonicMs();
		state.waiting = null;
		forward(feed);
	}

	return {
		offer(feed) {
			let state = sources.get(feed.source);
			if (!state) {
				if (sources.size >= SOURCES_MAX) return;
				state = { lastMs: Number.NEGATIVE_INFINITY, waiting: null, cancel: () => undefined };
				sources.set(feed.source, state);
			}
			const source = state;
			const sinceMs = clock.monotonicMs() - source.lastMs;
			if (sinceMs >= LEAST_GAP_MS) {
				send(source, feed);
				return;
			}
			const alreadyWaiting = source.waiting !== null;
			source.waiting = source.waiting === null ? feed : together(source.waiting, feed);
			if (alreadyWaiting) return;
			source.cancel = clock.after(LEAST_GAP_MS - sinceMs, () => {
				if (source.waiting) send(source, source.waiting);
			});
		},
		stop() {
			for (const { cancel } of sources.values()) cancel();
			sources.clear();
		},
	};
}

function together(waiting: Feed, newer: Feed): Feed {
	const { values, states } = newer;
	return { ...newer, values: { ...waiting.values, ...values }, states: { ...waiting.states, ...states } };
}
