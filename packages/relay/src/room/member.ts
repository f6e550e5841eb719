import type { WireMessage } from '@stillmast/record/wire';

/** One connection as the room sees it. */
export interface Member {
	/** Fingerprint of the key behind it. */
	readonly key: string;
	send(message: WireMessage): void;
	/** A message that is encoded already, once for all who get it. */
	sendEncoded(bytes: Uint8Array): void;
	/** The same for what only shows the moment: dropped when the other side is slow. */
	sendPassing(bytes: Uint8Array): void;
	close(code: number, reason: string): void;
}
