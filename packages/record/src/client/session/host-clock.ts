import type { Clock } from '@stillmast/formats/entry';
import type { ClockPort } from '../ports.js';

/** An older comparison loses this much of its sureness a second: device clocks drift by some parts in 100 000. */
const DRIFT_MS_PER_S = 0.05;

/** Compares the device's wall clock with the host's, by the pings that keep the link alive. */
export interface HostClock {
	/** Number and time for the next ping. */
	readonly ask: () => { readonly n: number; readonly at: number };
	/** Takes the answer to ping `n`; answers to pings it did not send are passed over. */
	readonly hear: (n: number, hostAtMs: number) => void;
	/** Host minus device, half the way there and back as its error, and its age; `null` before the first answer. */
	readonly reading: () => Clock | null;
}

export function hostClock(clock: ClockPort): HostClock {
	let count = 0;
	let asked: { readonly n: number; readonly atMs: number; readonly at: number } | null = null;
	let best: { readonly offsetMs: number; readonly errorMs: number; readonly at: number } | null = null;

	const ageS = (at: number) => (clock.monotonicMs() - at) / 1_000;

	return {
		ask: () => {
			count += 1;
			asked = { n: count, atMs: clock.nowMs(), at: clock.monotonicMs() };
			return { n: count, at: asked.atMs };
		},
		hear: (n, hostAtMs) => {
			if (asked?.n !== n) return;
			const wayMs = clock.monotonicMs() - asked.at;
			const heard = { offsetMs: hostAtMs - (asked.atMs + wayMs / 2), errorMs: wayMs / 2, at: clock.monotonicMs() };
			asked = null;
			// a quick answer says more than a slow one, even some time later
			if (best && best.errorMs + ageS(best.at) * DRIFT_MS_PER_S < heard.errorMs) return;
			best = heard;
		},
		reading: () => best && { offsetMs: best.offsetMs, errorMs: best.errorMs, ageS: ageS(best.at) },
	};
}
