import type { SessionStatus } from '@stillmast/record/client';
import type { Connection } from '$lib/parts/status/status.view.js';
import { journey } from '$lib/words/journey.js';

/** The connection words of a session's status. */
export function connectionOf(status: SessionStatus): Connection {
	const waitingCount = status.counts.notAtHost;
	switch (status.link.state) {
		case 'stopped':
			return stoppedBy(status.link.problem.code);
		case 'closed':
			return { state: 'alone' };
		case 'open':
			return { state: 'together', waitingCount };
		default:
			return { state: 'away', hostLast: hostLast(status.lastContactMs), waitingCount };
	}
}

/** What the host's last word means here, and what is left to do. */
function stoppedBy(code: string): Connection {
	switch (code) {
		case 'not-crew-here':
			return { state: 'alone', because: journey.link.notCrewHere };
		case 'record-not-at-host':
			return { state: 'alone', because: journey.link.notAtHost };
		default:
			return { state: 'refused', reason: journey.link.stopped };
	}
}

function hostLast(ms: number | null): string | null {
	return ms === null ? null : `${new Date(ms).toISOString().slice(11, 16)}Z`;
}
