import type { Clock, Log } from '../ports.js';
import type { Hall } from '../room/hall.js';
import type { Store } from '../store/store.js';

/** Upper edges of the commit-time buckets, in seconds: from a quick disk to one that holds everybody up. */
const EDGES_S = [0.001, 0.005, 0.02, 0.05, 0.15, 0.5, 2];

/** Counts what happens, for whoever watches over the host. Holds numbers only, nothing of anybody's record. */
export interface Metrics {
	/** The same log, counted by event. */
	readonly log: Log;
	/** The same store, its commits timed. */
	readonly store: Store;
	/** In the text format that monitoring systems read (OpenMetrics names and types). */
	text(hall: Hall): string;
}

export function createMetrics(ports: { readonly log: Log; readonly store: Store; readonly clock: Clock }): Metrics {
	const { clock, store } = ports;
	const events = new Map<string, number>();
	const buckets = EDGES_S.map(() => 0);
	let commits = 0;
	let commitSecondsSum = 0;

	function timed(startedMs: number): void {
		const seconds = (clock.monotonicMs() - startedMs) / 1_000;
		commits += 1;
		commitSecondsSum += seconds;
		EDGES_S.forEach((edge, index) => {
			if (seconds <= edge) buckets[index] = (buckets[index] ?? 0) + 1;
		});
	}

	return {
		log(line) {
			events.set(line.event, (events.get(line.event) ?? 0) + 1);
			ports.log(line);
		},
		store: {
			...store,
			async append(write) {
				const startedMs = clock.monotonicMs();
				const heads = await store.append(write);
				timed(startedMs);
				return heads;
			},
		},
		text(hall) {
			const lines = [
				'# TYPE stillmast_rooms gauge',
				`stillmast_rooms ${hall.openRooms}`,
				'# TYPE stillmast_connections gauge',
				`stillmast_connections ${hall.connections}`,
				'# TYPE stillmast_store_ready gauge',
				`stillmast_store_ready ${hall.storeState === 'ready' && hall.storeTrouble === null ? 1 : 0}`,
				'# TYPE stillmast_memory_bytes gauge',
				`stillmast_memory_bytes ${process.memoryUsage.rss()}`,
				'# TYPE stillmast_commit_seconds histogram',
				...EDGES_S.map((edge, index) => `stillmast_commit_seconds_bucket{le="${edge}"} ${buckets[index]}`),
				`stillmast_commit_seconds_bucket{le="+Inf"} ${commits}`,
				`stillmast_commit_seconds_sum ${commitSecondsSum}`,
				`stillmast_commit_seconds_count ${commits}`,
				'# TYPE stillmast_events counter',
				...[...events].sort().map(([event, count]) => `stillmast_events_total{event="${event}"} ${count}`),
			];
			return `${lines.join('\n')}\n# EOF\n`;
		},
	};
}
