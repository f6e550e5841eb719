import { onMount } from 'svelte';

/** Whether the screen stays lit: not asked for, held, or not to be had here. */
export type AwakeState = 'off' | 'held' | 'refused';

/** As much of the browser as keeps a screen lit. */
export interface AwakePorts {
	readonly request: (() => Promise<WakeLockSentinel>) | null;
	readonly isVisible: () => boolean;
	/** Calls back when the page is shown or hidden; the answer stops that. */
	readonly onVisible: (listener: () => void) => () => void;
}

export function browserAwake(): AwakePorts {
	const lock = 'wakeLock' in navigator ? navigator.wakeLock : null;
	return {
		request: lock === null ? null : () => lock.request('screen'),
		isVisible: () => document.visibilityState === 'visible',
		onVisible: (listener) => {
			document.addEventListener('visibilitychange', listener);
			return () => document.removeEventListener('visibilitychange', listener);
		},
	};
}

/** Keeps the screen lit from `hold` to `release`. The browser lets go of a hidden page, so it is asked again. */
export class Awake {
	state: AwakeState = $state('off');
	readonly #ports: AwakePorts;
	#lock: WakeLockSentinel | null = null;
	#stop: (() => void) | null = null;

	constructor(ports: AwakePorts = browserAwake()) {
		this.#ports = ports;
	}

	async hold(): Promise<void> {
		this.#stop ??= this.#ports.onVisible(() => void this.#ask());
		await this.#ask();
	}

	async release(): Promise<void> {
		this.#stop?.();
		this.#stop = null;
		this.state = 'off';
		const lock = this.#lock;
		this.#lock = null;
		await lock?.release();
	}

	async #ask(): Promise<void> {
		if (this.#stop === null || !this.#ports.isVisible() || this.#lock?.released === false) return;
		try {
			const lock = (await this.#ports.request?.()) ?? null;
			// whoever left meanwhile must not keep the screen lit
			if (this.#stop === null) return void (await lock?.release());
			this.#lock = lock;
			this.state = lock === null ? 'refused' : 'held';
			lock?.addEventListener('release', () => this.#released(lock));
		} catch {
			this.#lock = null;
			if (this.#stop !== null) this.state = 'refused';
		}
	}

	/** Taken away while the page is seen, as at a low battery: said, and asked for when the page is shown again. */
	#released(lock: WakeLockSentinel): void {
		if (this.#lock !== lock) return;
		this.#lock = null;
		if (this.#ports.isVisible()) this.state = 'refused';
	}
}

/** Keeps the screen lit for as long as a component is shown. Call while it is being made. */
export function stayLit(): Awake {
	const awake = new Awake();
	onMount(() => {
		void awake.hold();
		return () => void awake.release();
	});
	return awake;
}
