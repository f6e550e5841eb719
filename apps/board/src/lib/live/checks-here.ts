import type { Result } from '@stillmast/core/result';
import type { RecordRow, StoreProblem } from '@stillmast/record/client';
import type { Device } from './device.js';

/** Checks that this device has opened or joined, newest first. */
export async function checksHere(device: Device): Promise<Result<readonly RecordRow[], StoreProblem>> {
	const rows = await device.store.all('records');
	return rows.ok ? { ok: true, value: rows.value.toSorted((a, b) => b.openedAtMs - a.openedAtMs) } : rows;
}
