/** Subprotocol of the socket; the relay answers with this one and never echoes the ticket. */
export const SUBPROTOCOL = 'stillmast.1';
/** Version of the message set below, said in `hello`. */
export const WIRE_VERSION = 1;

const TICKET_PREFIX = 'ticket.';

/** What the client offers in the handshake: the ticket never stands in an address, so it is in no log. */
export function offeredProtocols(ticket: string): [string, string] {
	return [SUBPROTOCOL, `${TICKET_PREFIX}${ticket}`];
}

/** The ticket among offered subprotocols; null when there is none, or our subprotocol is not offered. */
export function ticketOf(offered: Iterable<string>): string | null {
	const list = [...offered];
	const ticket = list.find((protocol) => protocol.startsWith(TICKET_PREFIX))?.slice(TICKET_PREFIX.length) ?? '';
	return list.includes(SUBPROTOCOL) && ticket.length > 0 ? ticket : null;
}

export const SYNC_PATH = '/sync/';
/** Where a source of live gauges connects: text frames of `stillmast/feed@1` lines. */
export const FEED_PATH = '/feed/';

/** Path of a record's room. */
export function syncPath(recordId: string): string {
	return `${SYNC_PATH}${recordId}`;
}

/** Path of a record's feed. */
export function feedPath(recordId: string): string {
	return `${FEED_PATH}${recordId}`;
}

/** Text that a pen signs to be let in; `host` is the host's name as its origin gives it, so no other host can use it. */
export function ticketText(host: string, record: string, nonce: string): string {
	return `stillmast ticket v1\n${host}\n${record}\n${nonce}`;
}

/** Reasons for which the relay closes a socket, as WebSocket close codes. */
export const closeCodes = {
	/** The key is not enrolled in the record, or was revoked: ask for a new invite. */
	notEnrolled: 4401,
	/** The ticket was used, has run out or is unknown: fetch another and come back. */
	ticketSpent: 4501,
	/** A message or update that can never be accepted: keep the entries, do not send them again as they are. */
	refused: 4422,
	/** A frame or an assembled message over its limit. */
	tooBig: 4413,
	/** The store failed; nothing was acknowledged: come back and send again what is not stored. */
	storeTrouble: 1013,
} as const;

export type CloseCode = (typeof closeCodes)[keyof typeof closeCodes];

/** Largest WebSocket message either way, in bytes. */
export const FRAME_BYTES_MAX = 64 * 1024;
/** Largest message put together from fragments, in bytes. */
export const ASSEMBLED_BYTES_MAX = 16 * 1024 * 1024;
/** Largest awareness message, in bytes. */
export const AWARENESS_BYTES_MAX = 4 * 1024;
/** Largest update of a draft, in bytes: a narrative has at most 4 500 characters. */
export const DRAFT_BYTES_MAX = 32 * 1024;
/** Largest blob, in bytes. */
export const BLOB_BYTES_MAX = 8 * 1024 * 1024;
