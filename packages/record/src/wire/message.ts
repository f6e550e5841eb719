import type { Role } from '@stillmast/formats/entry';

/** First number of every frame. 0, 1 and 3 are those of y-protocols, so that a stock client can read along. */
export const messageTypes = {
	sync: 0,
	awareness: 1,
	queryAwareness: 3,
	hello: 100,
	stored: 101,
	fragment: 102,
	have: 103,
	want: 104,
	blob: 105,
	feed: 106,
	ping: 107,
	pong: 108,
	draft: 109,
} as const;

/** Last entry of a chain: chain id, seq, hash. */
export type ChainHead = readonly [chain: string, seq: number, hash: string];

export type WireMessage =
	| { readonly type: 'sync-step-1'; readonly stateVector: Uint8Array }
	| { readonly type: 'sync-step-2'; readonly update: Uint8Array }
	| { readonly type: 'sync-update'; readonly update: Uint8Array }
	| { readonly type: 'awareness'; readonly update: Uint8Array }
	| { readonly type: 'query-awareness' }
	| Hello
	/** From the relay: these chains are kept up to and including these entries, read from committed rows. */
	| { readonly type: 'stored'; readonly heads: readonly ChainHead[] }
	/** Part `index` of `count` of message `id` (a number that grows on each socket and direction). */
	| {
			readonly type: 'fragment';
			readonly id: number;
			readonly index: number;
			readonly count: number;
			readonly bytes: Uint8Array;
	  }
	| { readonly type: 'have'; readonly blobs: readonly string[] }
	| { readonly type: 'want'; readonly blobs: readonly string[] }
	| { readonly type: 'blob'; readonly hash: string; readonly bytes: Uint8Array }
	| Feed
	| { readonly type: 'ping'; readonly n: number; readonly at: number }
	/** `n` and `at` as in the ping; `hostAt` the host's clock, all in ms since 1970. */
	| { readonly type: 'pong'; readonly n: number; readonly at: number; readonly hostAt: number }
	| Draft;

/**
 * Text that people are typing together, before one of them writes it down as a `narrative`: an update of a throw-away
 * document for this subject. Passed on, never kept.
 */
export interface Draft {
	readonly type: 'draft';
	/** Subject of the narrative to be. */
	readonly subject: string;
	readonly update: Uint8Array;
}

/** First message each way. `role`: the client's own; in the relay's answer, the role it has in this record. */
export interface Hello {
	readonly type: 'hello';
	readonly wire: number;
	/** Lowest and highest entry version that this build reads. */
	readonly entryRange: readonly [from: number, to: number];
	readonly build: string;
	readonly role: Role;
}

/** One moment of live gauges; the newest of a source replaces those still waiting. */
export interface Feed {
	readonly type: 'feed';
	/** Distinguishes feeds of one aircraft. */
	readonly source: string;
	/** Registration of the aircraft it comes from; must be the record's. */
	readonly registration: string;
	/** The source's own time, seconds. */
	readonly timeS: number;
	/** Numbers by parameter id. */
	readonly values: Readonly<Record<string, number>>;
	/** Named states by id, such as `phase`. */
	readonly states: Readonly<Record<string, string>>;
}
