import type { ClockPort, DevicePort, HttpAnswer, NetworkPort, RandomPort, SocketHandlers, TabsPort } from '../ports.js';

/** The browser's clock. A timer longer than the page is asleep fires late; nothing relies on it firing in time. */
export const browserClock: ClockPort = {
	nowMs: () => Date.now(),
	monotonicMs: () => performance.now(),
	after: (delayMs, work) => {
		const timer = setTimeout(work, delayMs);
		return () => clearTimeout(timer);
	},
};

export const browserRandom: RandomPort = (length) => crypto.getRandomValues(new Uint8Array(length));

/**
 * Requests and sockets to one host.
 * @param origin such as `https://board.example`; the page's own origin where the host serves the board
 */
export function browserNetwork(origin: string): NetworkPort {
	const base = new URL(origin);
	return {
		hostName: base.host,
		get: (path) => request(new URL(path, base), { method: 'GET' }),
		post: (path, body) =>
			request(new URL(path, base), {
				method: 'POST',
				headers: { 'content-type': 'application/json' },
				body: typeof body === 'string' ? body : JSON.stringify(body),
			}),
		connect: (path, protocols, handlers) => connectSocket(base, path, protocols, handlers),
	};
}

async function request(url: URL, init: RequestInit): Promise<HttpAnswer> {
	try {
		const answer = await fetch(url, { ...init, cache: 'no-store', credentials: 'omit', referrerPolicy: 'no-referrer' });
		return { status: answer.status, body: await answer.json().catch(() => null) };
	} catch {
		return { status: 0, body: null };
	}
}

function connectSocket(base: URL, path: string, protocols: readonly string[], handlers: SocketHandlers) {
	const url = new URL(path, base);
	url.protocol = base.protocol === 'https:' ? 'wss:' : 'ws:';
	const socket = new WebSocket(url, [...protocols]);
	socket.binaryType = 'arraybuffer';
	socket.onopen = () => handlers.onOpen();
	socket.onmessage = (event: MessageEvent<unknown>) => {
		if (event.data instanceof ArrayBuffer) handlers.onMessage(new Uint8Array(event.data));
	};
	socket.onclose = (event) => handlers.onClose(event.code, event.reason);
	return {
		send: (frame: Uint8Array) => {
			if (socket.readyState === WebSocket.OPEN) socket.send(new Uint8Array(frame));
		},
		bufferedBytes: () => socket.bufferedAmount,
		close: (code?: number, reason?: string) => socket.close(code, reason),
	};
}

/** `online`, `offline`, tab shown or hidden, page restored from the back/forward cache. */
export const browserDevice: DevicePort = {
	online: () => navigator.onLine,
	visible: () => document.visibilityState === 'visible',
	onChange: (listener) => {
		for (const name of ['online', 'offline', 'pageshow'] as const) window.addEventListener(name, listener);
		document.addEventListener('visibilitychange', listener);
		return () => {
			for (const name of ['online', 'offline', 'pageshow'] as const) window.removeEventListener(name, listener);
			document.removeEventListener('visibilitychange', listener);
		};
	},
};

/** Other pages of this origin that have the same record open. */
export function browserTabs(record: string): TabsPort {
	const channel = new BroadcastChannel(`stillmast ${record}`);
	return {
		post: (message) => channel.postMessage(message),
		onMessage: (listener) => {
			const heard = (event: MessageEvent<unknown>) => listener(event.data);
			channel.addEventListener('message', heard);
			return () => channel.removeEventListener('message', heard);
		},
		close: () => channel.close(),
	};
}

/**
 * Asks the browser not to evict this origin's storage under disk pressure.
 * @returns `granted`, `refused` (it may still be evicted), or `unknown` where the browser cannot say
 */
export async function askForPersistence(): Promise<'granted' | 'refused' | 'unknown'> {
	if (!navigator.storage?.persist) return 'unknown';
	try {
		return (await navigator.storage.persisted()) || (await navigator.storage.persist()) ? 'granted' : 'refused';
	} catch {
		return 'unknown';
	}
}
