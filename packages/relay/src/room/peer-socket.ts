/** One open socket as the rooms see it; the network behind it is real or simulated. */
export interface PeerSocket {
	/** Hands a frame over; frames after `close` are dropped. */
	send(frame: Uint8Array): void;
	/** Closes with a code and a short reason; nothing is heard from it afterwards. */
	close(code: number, reason: string): void;
	/** Bytes handed over that have not left this host yet. */
	bufferedBytes(): number;
	/** Stops and resumes reading: what the other side sends meanwhile waits in the network, nothing is dropped. */
	pause(): void;
	resume(): void;
	/** Set once by whoever takes the socket. */
	listen(handlers: { onFrame(frame: Uint8Array): void; onClose(): void }): void;
}

/** Standard close codes used beside those of `@stillmast/record/wire`. */
export const standardCloseCodes = {
	goingAway: 1001,
	unsupported: 1003,
	/** The host stops or restarts in good order: come back soon. */
	restart: 1012,
} as const;
