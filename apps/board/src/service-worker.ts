/// <reference types="@sveltejs/kit" />
/// <reference no-default-lib="true"/>
/// <reference lib="esnext" />
/// <reference lib="webworker" />
import { build, files, prerendered, version } from '$service-worker';

/**
 * The board opens without a network: its build is kept on the device, and every page is the same shell.
 * The join page is never handled here and no request's address is ever kept, since invitations travel in addresses.
 */

const worker = globalThis.self as unknown as ServiceWorkerGlobalScope;
const cacheName = `board ${version}`;
/** Any page of the board is this one document; kept under one constant name. */
const shell = '/';
const kept = new Set([...build, ...files, ...prerendered, shell].filter((path) => !path.endsWith('.wasm')));

worker.addEventListener('install', (event) => {
	event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll([...kept])));
});

worker.addEventListener('activate', (event) => {
	event.waitUntil(dropOldCaches());
});

worker.addEventListener('fetch', (event) => {
	const url = new URL(event.request.url);
	if (event.request.method !== 'GET' || url.origin !== worker.location.origin) return;
	if (url.pathname.startsWith('/api/') || url.pathname.startsWith('/sync/') || url.pathname === '/join') return;
	if (event.request.mode === 'navigate') event.respondWith(networkElseShell(event.request));
	else if (kept.has(url.pathname)) event.respondWith(fromCache(url.pathname, event.request));
});

async function dropOldCaches(): Promise<void> {
	const names = await caches.keys();
	await Promise.all(names.filter((name) => name !== cacheName).map((name) => caches.delete(name)));
	await worker.clients.claim();
}

async function networkElseShell(request: Request): Promise<Response> {
	try {
		return await fetch(request);
	} catch {
		return (await caches.match(shell, { cacheName })) ?? Response.error();
	}
}

async function fromCache(path: string, request: Request): Promise<Response> {
	return (await caches.match(path, { cacheName })) ?? fetch(request);
}
