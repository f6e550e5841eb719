import type { Cancel, ClockPort, RandomPort } from '../../src/client/ports.js';

/** Time that moves only when a test moves it; promises settle between two events. */
export interface VirtualClock extends ClockPort {
	/** Moves on by `ms`, running everything that falls due, in order. */
	readonly pass: (ms: number) => Promise<void>;
	/** Time goes on and no timer fires, as in a page that is hidden or a device that sleeps. */
	readonly sleep: (ms: number) => void;
	/** Lets promises settle without moving time. */
	readonly settle: () => Promise<void>;
	/** Timers that have neither fired nor been cancelled. */
	readonly pending: () => number;
}

interface Timer {
	readonly dueAt: number;
	readonly order: number;
	readonly work: () => void;
}

export function virtualClock(startMs = Date.UTC(2026, 4, 1, 8)): VirtualClock {
	let now = 0;
	let order = 0;
	const timers = new Set<Timer>();
	// a macrotask: everything that is waiting only for promises has run by then
	const settle = () => new Promise<void>((resolve) => setImmediate(resolve));

	const next = (until: number): Timer | null => {
		let first: Timer | null = null;
		for (const timer of timers) {
			if (timer.dueAt > until) continue;
			if (!first || timer.dueAt < first.dueAt || (timer.dueAt === first.dueAt && timer.order < first.order))
				first = timer;
		}
		return first;
	};

	return {
		nowMs: () => startMs + now,
		monotonicMs: () => now,
		after: (delayMs, work): Cancel => {
			const timer = { dueAt: now + Math.max(0, delayMs), order: order++, work };
			timers.add(timer);
			return () => void timers.delete(timer);
		},
		pass: async (ms) => {
			const until = now + ms;
			await settle();
			for (let timer = next(until); timer; timer = next(until)) {
				timers.delete(timer);
				now = Math.max(now, timer.dueAt);
				timer.work();
				await settle();
			}
			now = until;
		},
		sleep: (ms) => {
			now += ms;
		},
		settle,
		pending: () => timers.size,
	};
}

/** Repeatable bytes from a seed (mulberry32); for tests only. */
export function seededRandom(seed: number): RandomPort {
	const next = seededNumbers(seed);
	return (length) => Uint8Array.from({ length }, () => Math.floor(next() * 256));
}

/** Repeatable numbers in [0, 1) from a seed (mulberry32). */
export function seededNumbers(seed: number): () => number {
	let a = seed >>> 0;
	return () => {
		a = (a + 0x6d2b79f5) >>> 0;
		let t = a;
		t = Math.imul(t ^ (t >>> 15), t | 1);
		t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
		return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
	};
}
