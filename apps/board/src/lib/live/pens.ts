import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { createKey, type KeptKey, openKey, type PenKey } from '@stillmast/record';
import type { Device } from './device.js';
import { type KeptCode, keepCode } from './pen-code.js';

/** A person's pen on this device. */
export interface Pen {
	readonly key: PenKey;
	readonly name: string;
	readonly licence: string;
	readonly code: KeptCode;
}

interface KeptPen {
	readonly kept: KeptKey;
	readonly name: string;
	readonly licence: string;
	readonly code: KeptCode;
}

/** Makes a pen and keeps it before it writes anything. Without a place to keep it the key would be lost on reload. */
export async function makePen(
	device: Device,
	person: { readonly name: string; readonly licence: string; readonly code: string },
): Promise<Result<Pen, Problem>> {
	const kept = await createKey(device.random);
	const code = await keepCode(person.code, device.random);
	const pen: KeptPen = { kept, name: person.name, licence: person.licence, code };
	const put = await device.store.put('pens', { key: kept.publicKey, pen });
	return put.ok ? ok(penOf(pen)) : put;
}

/** The pen of one record, and whether that record was opened for this device alone. */
export interface RecordPen extends Pen {
	readonly isAlone: boolean;
}

/** The pen with which this device opened or joined a record. */
export async function penFor(device: Device, record: string): Promise<Result<RecordPen, Problem>> {
	const records = await device.store.all('records');
	if (!records.ok) return records;
	const row = records.value.find(({ key }) => key === record);
	if (row === undefined) return fail({ code: 'record-not-on-device', found: record });
	const pens = await device.store.all('pens');
	if (!pens.ok) return pens;
	const kept = pens.value.find(({ key }) => key === row.penKey)?.pen;
	if (kept === undefined) return fail({ code: 'pen-not-on-device', found: row.penKey });
	return ok({ ...penOf(kept as KeptPen), isAlone: row.hostName === null });
}

/** A pen that may open checks, and the role it was enrolled in. */
export interface CrewPen {
	readonly pen: Pen;
	readonly role: 'pilot' | 'engineer';
}

/**
 * The crew pen this device wrote with last; null when it has none. A host takes a new check from a pen that it knows,
 * so one pen serves for all checks of its person on this device.
 */
export async function crewPen(device: Device): Promise<CrewPen | null> {
	const records = await device.store.all('records');
	const pens = await device.store.all('pens');
	if (!records.ok || !pens.ok) return null;
	for (const row of records.value.toSorted((a, b) => b.openedAtMs - a.openedAtMs)) {
		const kept = pens.value.find(({ key }) => key === row.penKey)?.pen;
		const { role } = row;
		// a pen made for one device alone stays in that check
		if (kept !== undefined && row.hostName !== null && (role === 'pilot' || role === 'engineer'))
			return { pen: penOf(kept as KeptPen), role };
	}
	return null;
}

/** A pen made on this device and not yet used in any check; null when there is none. */
export async function penHere(device: Device): Promise<Pen | null> {
	const records = await device.store.all('records');
	const pens = await device.store.all('pens');
	if (!records.ok || !pens.ok) return null;
	const used = new Set(records.value.map(({ penKey }) => penKey));
	const kept = pens.value.filter(({ key }) => !used.has(key)).at(-1)?.pen;
	return kept === undefined ? null : penOf(kept as KeptPen);
}

function penOf({ kept, name, licence, code }: KeptPen): Pen {
	return { key: openKey(kept), name, licence, code };
}
