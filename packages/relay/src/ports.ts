/**
 * What the relay takes from outside: time, randomness and a place for its log lines. `startRelay` supplies real ones;
 * a seeded simulation supplies its own and nothing else differs.
 */

/** Cancels what was started; calling it again does nothing. */
export type Cancel = () => void;

export interface Clock {
	/** Wall clock, milliseconds since 1970 UTC. */
	readonly nowMs: () => number;
	/** Never goes backwards. */
	readonly monotonicMs: () => number;
	/** Calls `work` once after at least `delayMs`. */
	readonly after: (delayMs: number, work: () => void) => Cancel;
}

/** `length` unpredictable bytes. */
export type Random = (length: number) => Uint8Array;

/** One structured line. Fields never hold secrets, tickets, nonces or what people wrote. */
export interface LogLine {
	readonly level: 'info' | 'warning' | 'error';
	/** kebab-case and stable. */
	readonly event: string;
	readonly [field: string]: string | number | boolean | null;
}

export type Log = (line: LogLine) => void;

export const systemClock: Clock = {
	nowMs: () => Date.now(),
	monotonicMs: () => performance.now(),
	after(delayMs, work) {
		const timer = setTimeout(work, delayMs);
		return () => clearTimeout(timer);
	},
};
