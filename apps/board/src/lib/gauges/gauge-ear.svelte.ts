import type { Feed } from '@stillmast/record/wire';
import { createContext } from 'svelte';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import type GlassLimits from './GlassLimits.svelte';
import type { GaugeFeeds } from './gauge-feeds.svelte.js';
import type LiveGauges from './LiveGauges.svelte';

/** What both sides of a lesson say to each other is no gauge of an aircraft. */
const lessonSources: readonly string[] = ['trainee', 'instructor'];

/** What is loaded once something is heard: the feeds, and how desk and glass show them. */
export interface Heard {
	readonly feeds: GaugeFeeds;
	readonly LiveGauges: typeof LiveGauges;
	readonly GlassLimits: typeof GlassLimits;
}

/** Waits for the first live gauge; what shows and judges them is loaded only then. */
export class GaugeEar {
	heard: Heard | null = $state.raw(null);
	readonly #check: LiveCheck;
	readonly #stop: () => void;
	#isClosed = false;
	#loading: Promise<void> | null = null;

	constructor(check: LiveCheck) {
		this.#check = check;
		this.#stop = check.session.onFeed((feed) => this.#hear(feed));
	}

	close(): void {
		this.#isClosed = true;
		this.#stop();
		this.heard?.feeds.close();
	}

	#hear(feed: Feed): void {
		const { purpose, opened } = this.#check.state;
		if (purpose === 'rehearsal' && lessonSources.includes(feed.source)) return;
		if (feed.registration !== opened?.aircraft.registration) return;
		this.heard?.feeds.hear(feed);
		if (this.heard === null) this.#loading ??= this.#load();
	}

	async #load(): Promise<void> {
		const [{ GaugeFeeds }, desk, glass] = await Promise.all([
			import('./gauge-feeds.svelte.js'),
			import('./LiveGauges.svelte'),
			import('./GlassLimits.svelte'),
		]);
		if (this.#isClosed) return;
		this.heard = { feeds: new GaugeFeeds(this.#check), LiveGauges: desk.default, GlassLimits: glass.default };
	}
}

/** The live gauges of this page's check, handed down by its shell. */
export const [getGauges, setGauges] = createContext<GaugeEar>();
