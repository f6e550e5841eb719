import { waitsFor } from '$lib/check/waits.view.js';
import type { CheckAtRest } from '$lib/live/check-at-rest.js';
import { plantedOf } from '$lib/sample/planted.view.js';
import { aircraft } from '$lib/words/aircraft.js';

/** A check that this device has. */
export interface CheckHere extends CheckAtRest {
	readonly record: string;
}

/** One aircraft with its checks on this device, newest first. */
export interface AircraftLine {
	readonly registration: string;
	readonly type: string;
	readonly checks: readonly CheckHere[];
}

/** One line per aircraft; the one written to last comes first. What was only rehearsed stands with none. @rule RHS-31 */
export function aircraftLines(checks: readonly CheckHere[]): AircraftLine[] {
	const byRegistration = new Map<string, CheckHere[]>();
	for (const check of checks) {
		if (check.state.purpose === 'rehearsal') continue;
		const registration = check.state.opened?.aircraft.registration ?? '';
		byRegistration.set(registration, [...(byRegistration.get(registration) ?? []), check]);
	}
	return [...byRegistration]
		.map(([registration, all]) => {
			const newestFirst = all.toSorted((a, b) => lastWritten(b).localeCompare(lastWritten(a)));
			return { registration, type: newestFirst[0]?.state.opened?.aircraft.type ?? '', checks: newestFirst };
		})
		.sort((a, b) => lastWritten(b.checks[0]).localeCompare(lastWritten(a.checks[0])));
}

/** The one thing an aircraft's newest check waits for; a sample says whether its mistake was found. */
export function waitsWords({ state, card }: CheckHere): string {
	switch (plantedOf(state, card.id)?.state) {
		case 'open':
			return aircraft.plantedOpen;
		case 'found':
			return aircraft.plantedFound;
		case 'missed':
			return aircraft.plantedMissed;
		default:
			return waitsFor(state);
	}
}

/** Day on which a check was opened, UTC: "2026-11-25". */
export function dayOf({ state }: CheckHere): string {
	return state.opened?.at.slice(0, 10) ?? '';
}

/** Time of the newest entry; device clocks order the list and nothing else. */
function lastWritten(check: CheckHere | undefined): string {
	return [...(check?.state.judged.values() ?? [])].at(-1)?.entry.at ?? '';
}
