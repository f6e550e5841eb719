import type { DeviceFacts } from './ready.view.js';

/** A part of the browser that not every one has. */
interface WithBattery {
	readonly getBattery?: () => Promise<{ readonly level: number; readonly charging: boolean }>;
}

/** Asks the browser, one thing after the other; what it does not know is null. */
export async function deviceFacts(documents: readonly string[], blobsHere: readonly string[]): Promise<DeviceFacts> {
	const { isSecureContext, navigator } = globalThis.window;
	return {
		isSecure: isSecureContext,
		isBoardKept: isSecureContext && (await isBoardKept()),
		isStorageKept: (await navigator.storage?.persisted?.().catch(() => null)) ?? null,
		freeBytes: await freeBytes(),
		battery: await battery(navigator as WithBattery),
		canStayLit: 'wakeLock' in navigator,
		areDocumentsKept: documents.every((hash) => blobsHere.includes(hash)),
	};
}

/** Both are proved: that a service worker is active, and that it has the page it answers with. */
async function isBoardKept(): Promise<boolean> {
	const worker = await navigator.serviceWorker?.getRegistration();
	return worker?.active?.state === 'activated' && (await caches.match('/')) !== undefined;
}

async function freeBytes(): Promise<number | null> {
	const found = await navigator.storage?.estimate?.().catch(() => undefined);
	return found?.quota === undefined || found.usage === undefined ? null : found.quota - found.usage;
}

async function battery(from: WithBattery): Promise<DeviceFacts['battery']> {
	const found = await from.getBattery?.().catch(() => undefined);
	return found === undefined ? null : { level: found.level, isCharging: found.charging };
}
