import type { Problem } from '@stillmast/core/result';
import { closeCodes } from '../../wire/index.js';

/** What a closed socket asks of the client: come back at once, come back later, or stay away until somebody acts. */
export type Closing =
	| { readonly next: 'at-once' | 'later'; readonly problem: Problem }
	| { readonly next: 'stop'; readonly problem: Problem };

/** Reads the close code of the host; every code that isn't the host's last word is worth another attempt. */
export function readClosing(code: number, reason: string): Closing {
	const found = reason === '' ? code : `${code} ${reason}`;
	switch (code) {
		case closeCodes.notEnrolled:
			return { next: 'stop', problem: { code: 'not-enrolled', found } };
		case closeCodes.refused:
			// it got a later entry of a chain before the first: the next sync sends them in order
			if (reason.startsWith('key-unknown')) return { next: 'later', problem: { code: 'link-broken', found } };
			return { next: 'stop', problem: { code: 'refused-by-host', found } };
		case closeCodes.tooBig:
			return { next: 'stop', problem: { code: 'too-big-for-host', found } };
		case closeCodes.ticketSpent:
			return { next: 'at-once', problem: { code: 'ticket-spent', found } };
		case closeCodes.storeTrouble:
			return { next: 'later', problem: { code: 'host-store-trouble', found } };
		default:
			return { next: 'later', problem: { code: 'link-broken', found } };
	}
}
