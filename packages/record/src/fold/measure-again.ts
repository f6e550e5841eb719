import type { Change } from './rotors.js';
import type { FoldRules } from './rules.js';
import type { MeasureAgain, ReadingGroup, VibrationGroup } from './state.js';

/** Readings other than vibration that every change on a rotor makes stale unless the type's data say otherwise. */
const DEPENDENT_SUBJECTS = ['track', 'autorotation'];

/**
 * Results measured before a change that they depend on: any change, unless the type's data spare that pair. Told of the
 * newest measurement of each result; older ones are history. @rule REC-61
 */
export function readMeasureAgain(
	changes: readonly Change[],
	vibrations: readonly VibrationGroup[],
	readings: readonly ReadingGroup[],
	rules: FoldRules,
): MeasureAgain[] {
	const lastFlights = new Map<string, number>();
	const measured = (result: string, flight: number) => {
		lastFlights.set(result, Math.max(flight, lastFlights.get(result) ?? 0));
	};
	for (const { rotor, channel, flight } of vibrations) measured(`vibration/${rotor}/${channel}`, flight);
	for (const { subject, flight } of readings) {
		if (DEPENDENT_SUBJECTS.some((start) => startsPath(start, subject))) measured(subject, flight);
	}
	return [...lastFlights]
		.sort(([a], [b]) => (a < b ? -1 : 1))
		.flatMap(([result, flight]) => {
			const because = changes
				.filter(({ after }) => after >= flight)
				.filter(({ rotor, adjuster }) => !spares(rules.adjusters[rotor]?.[adjuster]?.unaffected ?? [], result))
				.flatMap(({ entries }) => entries);
			return because.length === 0 ? [] : [{ result, flight, because: [...new Set(because)].sort() }];
		});
}

/** `tail` spares `vibration/tail/…`; a longer path spares what begins with it. */
function spares(unaffected: readonly string[], result: string): boolean {
	return unaffected.some((start) => startsPath(start, result) || startsPath(`vibration/${start}`, result));
}

function startsPath(start: string, path: string): boolean {
	return path === start || path.startsWith(`${start}/`);
}
