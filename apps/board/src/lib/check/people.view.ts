import type { RecordState } from '@stillmast/record';
import type { PenName } from '$lib/parts/written/pen.js';
import { english } from '$lib/words/english.js';

/**
 * The pen whose underline an entry gets, by the role its key is enrolled in. Null for reviewers, the host and keys not
 * enrolled here: they write no values, and nobody else's initial may stand for them.
 */
export function penOf(state: RecordState, by: string): PenName | null {
	switch (state.people.get(by)?.role) {
		case 'pilot':
			return 'pilot';
		case 'engineer':
		case 'instructor':
			return 'engineer';
		case 'support':
			return 'support';
		default:
			return null;
	}
}

/** "pilot", "engineer": a role as it is read. */
export function roleWord(role: string): string {
	return role === 'engineer' || role === 'support'
		? english.pen[`${role}Name`]
		: role === 'pilot'
			? english.pen.pilotName
			: role;
}

/** "14:31Z": times of entries, UTC. */
export function clockText(at: string): string {
	return `${at.slice(11, 16)}Z`;
}

/** "14:31:07Z": moments that were marked, UTC. */
export function secondsText(at: string): string {
	return `${at.slice(11, 19)}Z`;
}
