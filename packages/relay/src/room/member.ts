import type { WireMessage } from '@stillmast/record/wire';

/** One connection as the room sees it. */
export interface Member {
	/** Fingerprint of the key behind it. */
	readonly key: string;
	send(message: WireMessage): void;
	/** For what only shows the moment: dropped when the other side is slow. */
	sendPassing(message: WireMessage): void;
	close(code: number, reason: string): void;
}
