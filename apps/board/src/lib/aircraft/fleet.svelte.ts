import { checkAtRest } from '$lib/live/check-at-rest.js';
import { checksHere } from '$lib/live/checks-here.js';
import type { Device } from '$lib/live/device.js';
import { type AircraftLine, aircraftLines, type CheckHere } from './aircraft.view.js';

/** Every aircraft this device has a check of, read from its disk one check after the other. */
export class Fleet {
	#checks: readonly CheckHere[] = $state.raw([]);
	isRead: boolean = $state(false);
	trouble: string | null = $state(null);

	get lines(): AircraftLine[] {
		return aircraftLines(this.#checks);
	}

	async read(device: Device): Promise<void> {
		const rows = await checksHere(device);
		if (!rows.ok) this.trouble = rows.problem.code;
		for (const { key } of rows.ok ? rows.value : []) {
			const check = await checkAtRest(device, key);
			// one that has no entries here yet was joined and never opened: its page fetches it
			if (check !== null) this.#checks = [...this.#checks, { ...check, record: key }];
		}
		this.isRead = true;
	}
}
