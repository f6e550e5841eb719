import { askForPersistence } from '@stillmast/record/client/browser';

/** What the browser says of this board's storage. `may-clear`: it may clear it when the device runs short. */
export type KeptState = 'asking' | 'kept' | 'may-clear' | 'refused' | 'unknown';

const bytesPerMB = 1e6;

/** Whether what this device keeps may be cleared by the browser, and how much room there is. */
export class Kept {
	state: KeptState = $state('asking');
	/** MB used and MB there are, or null where the browser does not say. */
	room: { readonly usedMB: number; readonly allMB: number } | null = $state.raw(null);

	async read(storage: StorageManager | undefined = navigator.storage): Promise<void> {
		try {
			this.state = storage?.persisted === undefined ? 'unknown' : (await storage.persisted()) ? 'kept' : 'may-clear';
			const { usage, quota } = (await storage?.estimate?.()) ?? {};
			if (usage !== undefined && quota !== undefined)
				this.room = { usedMB: usage / bytesPerMB, allMB: quota / bytesPerMB };
		} catch {
			this.state = 'unknown';
		}
	}

	async ask(): Promise<void> {
		const answer = await askForPersistence();
		this.state = answer === 'granted' ? 'kept' : answer;
	}
}
