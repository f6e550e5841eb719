import { english } from '$lib/words/english.js';

/** Who writes: the pilot's pen, the engineer's, or remote support's. */
export type PenName = 'pilot' | 'engineer' | 'support';

/** The initial that stands beside whatever that pen wrote; "?" where the record does not say whose it is. */
export function penInitial(pen: PenName | null): string {
	return pen === null ? english.pen.unknown : english.pen[pen];
}

export function penTitle(pen: PenName | null): string {
	return pen === null ? english.pen.unknownName : english.pen[`${pen}Name`];
}
