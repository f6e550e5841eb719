import type { RecordState } from '@stillmast/record';
import type { PenName } from '$lib/parts/written/pen.js';

/** The pen whose underline an entry gets, by the role its key is enrolled in; the host and reviewers write no values. */
export function penOf(state: RecordState, by: string): PenName {
	switch (state.people.get(by)?.role) {
		case 'engineer':
		case 'instructor':
			return 'engineer';
		case 'support':
			return 'support';
		default:
			return 'pilot';
	}
}

/** "14:31Z": times of entries, UTC. */
export function clockText(at: string): string {
	return `${at.slice(11, 16)}Z`;
}
