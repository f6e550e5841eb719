import type { RecordState } from '@stillmast/record';
import { openSession } from '@stillmast/record/client';
import type { Device } from './device.js';
import { type CheckDocuments, readDocuments } from './documents.js';
import { penFor } from './pens.js';

/** A check as this device has it, looked at without a link to the host. */
export interface CheckAtRest extends CheckDocuments {
	readonly state: RecordState;
}

/** `null` when its first entry, card or type data are not on this device. */
export async function checkAtRest(device: Device, record: string): Promise<CheckAtRest | null> {
	const pen = await penFor(device, record);
	if (!pen.ok) return null;
	const hand = { key: pen.value.key, unlocked: 'by-code' } as const;
	const { network: _, tabs: __, ...apart } = device;
	const session = await openSession({ ...apart, network: null }, record, hand);
	const { opened } = session.state;
	const documents = opened === null ? null : await readDocuments(opened, (hash) => session.blob(hash));
	const { state } = session;
	session.close();
	return documents?.ok ? { state, ...documents.value } : null;
}
