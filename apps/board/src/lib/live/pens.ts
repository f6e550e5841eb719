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

/** The pen with which this device opened or joined a record. */
export async function penFor(device: Device, record: string): Promise<Result<Pen, Problem>> {
	const records = await device.store.all('records');
	if (!records.ok) return records;
	const row = records.value.find(({ key }) => key === record);
	if (row === undefined) return fail({ code: 'record-not-on-device', found: record });
	const pens = await device.store.all('pens');
	if (!pens.ok) return pens;
	const kept = pens.value.find(({ key }) => key === row.penKey)?.pen;
	return kept === undefined ? fail({ code: 'pen-not-on-device', found: row.penKey }) : ok(penOf(kept as KeptPen));
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
		if (kept !== undefined && (role === 'pilot' || role === 'engineer')) return { pen: penOf(kept as KeptPen), role };
	}
	return null;
}

function penOf({ kept, name, licence, code }: KeptPen): Pen {
	return { key: openKey(kept), name, licence, code };
}
