import type { RandomPort } from '../ports.js';

const FIRST_MS = 500;
const MOST_MS = 4_000;

/**
 * Waiting time before the next attempt: doubles from 0.5 s up to 4 s, each time between half and all of it,
 * so that tablets that lost the host together don't come back together.
 * @param failures attempts that failed in a row, 1 or more
 */
export function backoffMs(failures: number, random: RandomPort): number {
	const ceilingMs = Math.min(MOST_MS, FIRST_MS * 2 ** Math.min(failures - 1, 16));
	const share = (random(1)[0] ?? 0) / 255;
	return ceilingMs * (0.5 + share / 2);
}
