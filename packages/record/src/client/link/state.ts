import type { Problem } from '@stillmast/core/result';

/**
 * Where the link to the host stands.
 * `closed`: the session ended, or the record lives on this device only · `asking`: for a ticket · `opening`: the socket ·
 * `open` · `waiting`: the last attempt failed, the next comes by itself · `stopped`: nothing comes by itself any more,
 * the crew has to do what `problem` says.
 */
export type LinkState =
	| { readonly state: 'closed' }
	| { readonly state: 'asking' | 'opening'; readonly attempt: number }
	| { readonly state: 'open'; readonly role: string }
	| { readonly state: 'waiting'; readonly attempt: number; readonly problem: Problem }
	| { readonly state: 'stopped'; readonly problem: Problem };

export interface LinkTimes {
	/** A ping goes out when this long has passed since the last. */
	readonly pingEveryMs: number;
	/** An open link without a sign of the host for this long is dead, whatever the socket says; looked at every second. */
	readonly deadAfterMs: number;
	/** A socket or a request that has not answered by then is given up. */
	readonly openWithinMs: number;
}

export const LINK_TIMES: LinkTimes = { pingEveryMs: 5_000, deadAfterMs: 10_500, openWithinMs: 8_000 };
