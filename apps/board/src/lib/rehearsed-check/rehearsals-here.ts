import { planOf } from '$lib/lesson/lesson-plan.js';
import { checkAtRest } from '$lib/live/check-at-rest.js';
import { checksHere } from '$lib/live/checks-here.js';
import type { Device } from '$lib/live/device.js';

/** A rehearsal that this device has, and the page that goes on with it. */
export interface RehearsalHere {
	readonly href: string;
	readonly registration: string;
	/** Day on which it was opened, UTC. */
	readonly day: string;
}

/** Newest first. They stand here because they may not stand among flights. */
export async function rehearsalsHere(device: Device): Promise<readonly RehearsalHere[]> {
	const rows = await checksHere(device);
	const found: RehearsalHere[] = [];
	for (const { key, role } of rows.ok ? rows.value : []) {
		const check = await checkAtRest(device, key);
		const opened = check?.state.opened;
		if (check === null || !opened || check.state.purpose !== 'rehearsal') continue;
		const lessonPage = role === 'instructor' ? 'lesson' : 'rehearse';
		const href = planOf(check.state) === null ? `/check/${key}` : `/${lessonPage}/${key}`;
		found.push({ href, registration: opened.aircraft.registration, day: opened.at.slice(0, 10) });
	}
	return found;
}
