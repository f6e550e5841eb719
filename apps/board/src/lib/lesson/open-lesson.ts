import { ok, type Problem, type Result } from '@stillmast/core/result';
import { hashBytes } from '@stillmast/record';
import { openCheck, postInvite } from '@stillmast/record/client';
import type { Device } from '$lib/live/device.js';
import { type Pen, penFor } from '$lib/live/pens.js';
import cardText from '../../../../../demo-scenarios/after-gearbox-smoothing/card.json?raw';
import typeText from '../../../../../demo-scenarios/after-gearbox-smoothing/type.json?raw';
import { type Hidden, hashOfHidden, type LessonPlan, newSalt, writePlan } from './lesson-plan.js';

/** Roles whose pen may open a lesson. */
export type TeachingRole = 'instructor' | 'pilot' | 'engineer';

export interface TeachingPen {
	readonly pen: Pen;
	readonly role: TeachingRole;
}

/** The pen this device wrote with last in a role that may teach: the host knows it. Null when there is none. */
export async function teachingPen(device: Device): Promise<TeachingPen | null> {
	const rows = await device.store.all('records');
	if (!rows.ok) return null;
	for (const row of rows.value.toSorted((a, b) => b.openedAtMs - a.openedAtMs)) {
		const role = (['instructor', 'pilot', 'engineer'] as const).find((one) => one === row.role);
		const pen = role === undefined ? null : await penFor(device, row.key);
		if (role !== undefined && pen?.ok) return { pen: pen.value, role };
	}
	return null;
}

const hiddenShelf = 'stillmast-lesson-hidden/';

/** What is hidden stays on the instructor's device until it is shown; the record has its hash only. */
export function hiddenOf(record: string): Hidden | null {
	const kept = localStorage.getItem(hiddenShelf + record);
	return kept === null ? null : (JSON.parse(kept) as Hidden);
}

/**
 * Opens a record of purpose rehearsal and writes the plan into it: aim and hidden things are fixed before anybody joins.
 * @returns the record's id
 */
export async function openLesson(
	device: Device,
	{ pen, role }: TeachingPen,
	asked: Omit<LessonPlan, 'hiddenHash'> & { readonly hidden: string },
): Promise<Result<string, Problem>> {
	const blobs = [cardText, typeText].map((text) => new TextEncoder().encode(text));
	const [card, typeData] = blobs.map(hashBytes) as [string, string];
	const aircraft = { registration: 'ZZ-SIM', type: 'Ouzel 3', serial: '' };
	const opened = await openCheck(
		device,
		{ key: pen.key, unlocked: 'by-code' },
		{ fields: { purpose: 'rehearsal', role, name: pen.name, aircraft, card, typeData }, blobs },
	);
	if (!opened.ok) return opened;
	const session = opened.value;
	const hidden: Hidden = { text: asked.hidden, salt: newSalt(device.random) };
	localStorage.setItem(hiddenShelf + session.record, JSON.stringify(hidden));
	const { aim, inARow, targetS } = asked;
	const planned = await writePlan(session, { aim, inARow, targetS, hiddenHash: hashOfHidden(hidden) });
	await session.settled();
	session.close();
	return planned.ok ? ok(session.record) : planned;
}

/** A link that lets one trainee in; the host makes it for the record's creator. */
export async function traineeLink({ network }: Device, record: string, pen: Pen): Promise<Result<string, Problem>> {
	const made = await postInvite(network, record, pen.key, { role: 'pilot', as: 'link' });
	return made.ok ? ok(`${location.origin}/join#${made.value}`) : made;
}
