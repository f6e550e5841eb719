import { english } from '$lib/words/english.js';

/** Who writes: the pilot's pen, the engineer's, or remote support's. */
export type PenName = 'pilot' | 'engineer' | 'support';

/** The initial that stands beside whatever that pen wrote. */
export function penInitial(pen: PenName): string {
	return english.pen[pen];
}

export function penTitle(pen: PenName): string {
	return english.pen[`${pen}Name`];
}
