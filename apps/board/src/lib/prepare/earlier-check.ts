import type { RecordState } from '@stillmast/record';
import { dayOf } from '$lib/aircraft/aircraft.view.js';
import { type CheckAtRest, checkAtRest } from '$lib/live/check-at-rest.js';
import { checksHere } from '$lib/live/checks-here.js';
import type { Device } from '$lib/live/device.js';

/** The check of this aircraft before this one, as the device has it. */
export interface EarlierCheck extends CheckAtRest {
	readonly record: string;
	readonly day: string;
}

/** Header field that names the check whose answers are learned from; empty: none. */
export const learnedFromField = 'learned-from';

/** Record whose answers this check learns from, as somebody wrote down; null when nobody did. */
export function learnedFrom(state: RecordState): string | null {
	const value = state.header.get(learnedFromField)?.holds?.value;
	return typeof value === 'string' && value !== '' ? value : null;
}

/** The newest check of the same aircraft that was opened before this one; null when this device has none. */
export async function earlierCheck(device: Device, state: RecordState): Promise<EarlierCheck | null> {
	const rows = await checksHere(device);
	let newest: EarlierCheck | null = null;
	for (const { key } of rows.ok ? rows.value : []) {
		if (key === state.record) continue;
		const check = await namedCheck(device, key);
		if (check === null || !isBefore(check.state, state)) continue;
		if (newest === null || isBefore(newest.state, check.state)) newest = check;
	}
	return newest;
}

/** A check by its record, or null when this device does not have it. */
export async function namedCheck(device: Device, record: string): Promise<EarlierCheck | null> {
	const check = await checkAtRest(device, record);
	return check === null ? null : { ...check, record, day: dayOf({ ...check, record }) };
}

/** Of the same aircraft and purpose, and opened earlier. */
function isBefore(one: RecordState, other: RecordState): boolean {
	return (
		one.opened !== null &&
		other.opened !== null &&
		one.purpose === other.purpose &&
		one.opened.aircraft.registration === other.opened.aircraft.registration &&
		one.opened.at < other.opened.at
	);
}
