/**
 * Everything the client takes from outside: clock, network, disk, randomness and the state of the screen.
 * The browser supplies real ones (`client/browser`), a seeded simulation supplies its own; nothing else differs.
 */

/** Cancels what was started; calling it again does nothing. */
export type Cancel = () => void;

export interface ClockPort {
	/** Wall clock, ms UTC. For showing and for entries' `at`; never for deciding. */
	readonly nowMs: () => number;
	/** Never goes backwards; ms since the page (or process) began. */
	readonly monotonicMs: () => number;
	/** Calls `work` once after at least `delayMs`. */
	readonly after: (delayMs: number, work: () => void) => Cancel;
}

/** `length` random bytes, fit for keys and nonces. */
export type RandomPort = (length: number) => Uint8Array;

export interface SocketHandlers {
	readonly onOpen: () => void;
	readonly onMessage: (frame: Uint8Array) => void;
	/** At most once; nothing comes after it. `code` 1006 when the link broke without a word. */
	readonly onClose: (code: number, reason: string) => void;
}

export interface Socket {
	readonly send: (frame: Uint8Array) => void;
	/** Bytes handed to `send` that have not left this device yet. */
	readonly bufferedBytes: () => number;
	readonly close: (code?: number, reason?: string) => void;
}

/** Answer of one request: status 0 when the host could not be reached at all. */
export interface HttpAnswer {
	readonly status: number;
	readonly body: unknown;
}

export interface NetworkPort {
	/** Host name (with port, when it is not the default one) that tickets are signed for. */
	readonly hostName: string;
	/** `path` such as `/api/host`; never rejects. */
	readonly get: (path: string) => Promise<HttpAnswer>;
	/** `path` such as `/api/ticket`; a body that is a text is JSON already and goes as it stands. Never rejects. */
	readonly post: (path: string, body: unknown) => Promise<HttpAnswer>;
	/** `path` such as `/sync/<record>`. */
	readonly connect: (path: string, protocols: readonly string[], handlers: SocketHandlers) => Socket;
}

/** What the device says about itself; hints only: the link decides by what the host answers. */
export interface DevicePort {
	readonly online: () => boolean;
	readonly visible: () => boolean;
	/** Called whenever `online` or `visible` may have changed. */
	readonly onChange: (listener: () => void) => Cancel;
}

/** Other pages of the same origin on the same device. */
export interface TabsPort {
	readonly post: (message: unknown) => void;
	readonly onMessage: (listener: (message: unknown) => void) => Cancel;
	readonly close: () => void;
}
