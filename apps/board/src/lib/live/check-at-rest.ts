import type { RecordState } from '@stillmast/record';
import { readAtRest } from '@stillmast/record/client';
import type { Device } from './device.js';
import { type CheckDocuments, readDocuments } from './documents.js';

/** A check as this device has it, looked at without a link to the host. */
export interface CheckAtRest extends CheckDocuments {
	readonly state: RecordState;
}

/** `null` when its first entry, card or type data are not on this device. */
export async function checkAtRest(device: Device, record: string): Promise<CheckAtRest | null> {
	const { state, blob } = await readAtRest(device.store, record);
	const documents = state.opened === null ? null : await readDocuments(state.opened, blob);
	return documents?.ok ? { state, ...documents.value } : null;
}
