import { beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';

const ORIGIN = 'https://board.example';
const VERSION = '7';
vi.mock('$service-worker', () => ({
	build: ['/_app/start.js', '/_app/solver.wasm'],
	files: ['/icon.svg'],
	prerendered: [],
	version: '7',
}));

/** What the browser gives a worker, as far as the board's uses it (W3C Service Workers, in its own words). */
const handlers = new Map<string, (event: never) => void>();
const shelves = new Map<string, Map<string, Response>>();
let online = true;

const pathOf = (asked: string | Request) =>
	typeof asked === 'string' ? asked : asked.url.startsWith(ORIGIN) ? asked.url.slice(ORIGIN.length) : asked.url;

function shelf(name: string) {
	const kept = shelves.get(name) ?? new Map<string, Response>();
	shelves.set(name, kept);
	return {
		addAll: async (paths: readonly string[]) => {
			for (const path of paths) kept.set(path, new Response(`kept ${path}`));
		},
		add: async (asked: string | Request) => void kept.set(pathOf(asked), new Response('added')),
		put: async (asked: string | Request, answer: Response) => void kept.set(pathOf(asked), answer),
	};
}

const everyKey = () => [...shelves.values()].flatMap((kept) => [...kept.keys()]).sort();

async function run(name: 'install' | 'activate'): Promise<void> {
	let done: Promise<unknown> = Promise.resolve();
	handlers.get(name)?.({ waitUntil: (work: Promise<unknown>) => (done = work) } as never);
	await done;
}

/** The worker's answer as text; null when it leaves the request to the browser. */
async function ask(path: string, more: { mode?: string; method?: string } = {}): Promise<string | null> {
	const url = path.startsWith('http') ? path : `${ORIGIN}${path}`;
	const request = { url, method: more.method ?? 'GET', mode: more.mode ?? 'cors' };
	let answer: Promise<Response> | null = null;
	handlers.get('fetch')?.({ request, respondWith: (given: Promise<Response>) => (answer = given) } as never);
	return answer === null ? null : (await (answer as Promise<Response>)).text();
}

const KEPT = ['/', '/_app/start.js', '/icon.svg'];

describe('the service worker', () => {
	beforeAll(async () => {
		vi.stubGlobal('self', {
			addEventListener: (name: string, handler: (event: never) => void) => handlers.set(name, handler),
			location: { origin: ORIGIN },
			clients: { claim: async () => undefined },
		});
		vi.stubGlobal('caches', {
			open: async (name: string) => shelf(name),
			keys: async () => [...shelves.keys()],
			delete: async (name: string) => shelves.delete(name),
			match: async (asked: string | Request, options?: { cacheName?: string }) => {
				const names = options?.cacheName === undefined ? [...shelves.keys()] : [options.cacheName];
				for (const name of names) {
					const found = shelves.get(name)?.get(pathOf(asked));
					if (found) return found.clone();
				}
				return undefined;
			},
		});
		vi.stubGlobal('fetch', async (asked: string | Request) => {
			if (!online) throw new TypeError('no network');
			return new Response(`network ${pathOf(asked)}`);
		});
		// By an address that the type checker does not follow: a worker's globals are others than a page's.
		await import(/* @vite-ignore */ new URL('../src/service-worker.ts', import.meta.url).href);
	});
	beforeEach(async () => {
		online = true;
		shelves.clear();
		await run('install');
	});

	it('[DEV-29] keeps the build and one shell, under constant names and without what is too large', () => {
		expect(everyKey()).toEqual(KEPT);
		expect([...shelves.keys()]).toEqual([`board ${VERSION}`]);
	});

	it('[DEV-29] answers a page from the network while there is one, and keeps neither its address nor its answer', async () => {
		for (const path of ['/c/AbC', '/c/AbC?invite=secret', '/', '/_app/start.js', '/icon.svg', '/other.png']) {
			await ask(path, { mode: 'navigate' });
			await ask(path);
		}
		expect(await ask('/c/AbC?invite=secret', { mode: 'navigate' })).toBe('network /c/AbC?invite=secret');
		expect(everyKey()).toEqual(KEPT);
	});

	it('[DEV-29] without a network every page is the shell, and what was built comes from the device', async () => {
		online = false;
		expect(await ask('/c/AbC', { mode: 'navigate' })).toBe('kept /');
		expect(await ask('/_app/start.js')).toBe('kept /_app/start.js');
		expect(everyKey()).toEqual(KEPT);
	});

	it('[DEV-29] never touches the join page, calls, sockets, posts and other origins, with or without a network', async () => {
		for (online of [true, false]) {
			expect(await ask('/join', { mode: 'navigate' })).toBeNull();
			expect(await ask('/join?code=ABC', { mode: 'navigate' })).toBeNull();
			expect(await ask('/api/join')).toBeNull();
			expect(await ask('/sync/AbC')).toBeNull();
			expect(await ask('/c/AbC', { method: 'POST' })).toBeNull();
			expect(await ask('https://elsewhere.example/', { mode: 'navigate' })).toBeNull();
		}
		expect(everyKey()).toEqual(KEPT);
	});

	it('[DEV-29] a new build drops what the old one kept', async () => {
		await shelf('board 6').put('/old.js', new Response('old'));
		await run('activate');
		expect(everyKey()).toEqual(KEPT);
	});
});
