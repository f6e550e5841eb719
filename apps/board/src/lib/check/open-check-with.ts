import { ok, type Problem, type Result } from '@stillmast/core/result';
import { hashBytes } from '@stillmast/record';
import { openCheck, type Session } from '@stillmast/record/client';
import type { Device } from '$lib/live/device.js';
import type { CrewPen } from '$lib/live/pens.js';
import type { Done } from './actions.js';

/** A new check: of which aircraft, by whom, and the documents that it is flown and judged by, as text. */
export interface NewCheck {
	readonly purpose: 'flight' | 'demo' | 'rehearsal';
	readonly aircraft: { readonly registration: string; readonly type: string; readonly serial: string };
	readonly by: CrewPen;
	readonly card: string;
	readonly typeData: string;
	/** Written right after the opening, before anybody else is here. */
	readonly first?: ((session: Session) => Promise<Done>) | undefined;
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
	const session = opened.value;
	const done = await asked.first?.(session);
	await session.settled();
	session.close();
	return done === undefined || done.ok ? ok(session.record) : done;
}
