/**
 * Other pages of this device that have the same check open. Each page holds a lock of its own for as long as it lives,
 * so one that ended without a word is not counted; a channel says when to count anew.
 */
export class OtherPages {
	count: number = $state(0);
	readonly #prefix: string;
	readonly #channel: BroadcastChannel | null;
	readonly #look = () => void this.#countAnew();
	#letGo: () => void = () => undefined;

	constructor(record: string) {
		this.#prefix = `stillmast/open/${record}/`;
		this.#channel = 'locks' in navigator ? new BroadcastChannel(this.#prefix) : null;
		if (this.#channel === null) return;
		this.#channel.onmessage = this.#look;
		const until = new Promise<void>((resolve) => {
			this.#letGo = resolve;
		});
		// whoever looks at this page again sees it as it is, also when the other ended without a word
		document.addEventListener('visibilitychange', this.#look);
		void navigator.locks
			.request(this.#prefix + crypto.randomUUID(), () => {
				this.#changed();
				return until;
			})
			.then(() => {
				this.#channel?.postMessage('changed');
				this.#channel?.close();
			});
	}

	close(): void {
		document.removeEventListener('visibilitychange', this.#look);
		this.#letGo();
	}

	#changed(): void {
		this.#channel?.postMessage('changed');
		void this.#countAnew();
	}

	async #countAnew(): Promise<void> {
		const { held = [] } = await navigator.locks.query();
		const open = held.filter(({ name }) => name?.startsWith(this.#prefix));
		this.count = Math.max(0, open.length - 1);
	}
}
