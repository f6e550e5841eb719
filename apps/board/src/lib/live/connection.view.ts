import type { SessionStatus } from '@stillmast/record/client';
import type { Connection } from '$lib/parts/status/status.view.js';
import { journey } from '$lib/words/journey.js';

/** The connection words of a session's status. */
export function connectionOf(status: SessionStatus): Connection {
	const waitingCount = status.counts.notAtHost;
	switch (status.link.state) {
		case 'stopped':
			return { state: 'refused', reason: journey.link.stopped };
		case 'closed':
			return { state: 'alone' };
		case 'open':
			return { state: 'together', waitingCount };
		default:
			return { state: 'away', hostLast: hostLast(status.lastContactMs), waitingCount };
	}
}

function hostLast(ms: number | null): string | null {
	return ms === null ? null : `${new Date(ms).toISOString().slice(11, 16)}Z`;
}
