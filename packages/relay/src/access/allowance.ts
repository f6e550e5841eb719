import type { Clock } from '../ports.js';

/** How often something may be done by one caller: `burst` at once, refilled at `perMinute`. */
export interface Allowance {
	/** Takes one; false when none is left. */
	take(caller: string): boolean;
}

export interface AllowanceSize {
	readonly burst: number;
	readonly perMinute: number;
}

/** Callers remembered at a time; beyond it the longest silent are forgotten, which only favours them. */
const CALLERS_KEPT = 10_000;

export function createAllowance({ clock, burst, perMinute }: AllowanceSize & { readonly clock: Clock }): Allowance {
	const callers = new Map<string, { left: number; atMs: number }>();
	return {
		take(caller) {
			const nowMs = clock.monotonicMs();
			const known = callers.get(caller) ?? { left: burst, atMs: nowMs };
			const left = Math.min(burst, known.left + ((nowMs - known.atMs) / 60_000) * perMinute);
			const allowed = left >= 1;
			callers.delete(caller);
			callers.set(caller, { left: allowed ? left - 1 : left, atMs: nowMs });
			for (const oldest of callers.keys()) {
				if (callers.size <= CALLERS_KEPT) break;
				callers.delete(oldest);
			}
			return allowed;
		},
	};
}
