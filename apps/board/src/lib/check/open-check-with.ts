import { ok, type Problem, type Result } from '@stillmast/core/result';
import { hashBytes } from '@stillmast/record';
import { openCheck } from '@stillmast/record/client';
import type { Device } from '$lib/live/device.js';
import type { CrewPen } from '$lib/live/pens.js';

/** A new check: of which aircraft, by whom, and the documents that it is flown and judged by, as text. */
export interface NewCheck {
	readonly purpose: 'flight' | 'demo';
	readonly aircraft: { readonly registration: string; readonly type: string; readonly serial: string };
	readonly by: CrewPen;
	readonly card: string;
	readonly typeData: string;
}

/**
 * Opens a check. It works on this device alone; the host gets it as soon as it lets this pen bring a record.
 * @returns the record's id
 */
export async function openCheckWith(device: Device, asked: NewCheck): Promise<Result<string, Problem>> {
	const { pen, role } = asked.by;
	const blobs = [asked.card, asked.typeData].map((text) => new TextEncoder().encode(text));
	const [card, typeData] = blobs.map(hashBytes) as [string, string];
	const { purpose, aircraft } = asked;
	const fields = { purpose, role, name: pen.name, aircraft, card, typeData };
	const opened = await openCheck(device, { key: pen.key, unlocked: 'by-code' }, { fields, blobs });
	if (!opened.ok) return opened;
	await opened.value.settled();
	opened.value.close();
	return ok(opened.value.record);
}
