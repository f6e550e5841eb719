import type { KnownEntry } from '@stillmast/formats/entry';
import type { Change } from './rotors.js';
import type { FoldRules } from './rules.js';
import type { MeasureAgain } from './state.js';

/** Readings other than vibration that every change on a rotor makes stale unless the type's data say otherwise. */
const DEPENDENT_SUBJECTS = ['track', 'autorotation'];

/** The result that an entry measures, if a change on a rotor can make it stale. */
export function resultOf(entry: KnownEntry): string | null {
	if (entry.kind === 'vibration') return `vibration/${entry.rotor}/${entry.channel}`;
	if (entry.kind !== 'reading') return null;
	return DEPENDENT_SUBJECTS.some((start) => startsPath(start, entry.subject)) ? entry.subject : null;
}

/**
 * Results measured before a change that they depend on: any change, unless the type's data spare that pair. Told of the
 * newest measurement of each result; older ones are history. @rule REC-61
 * @param lastFlights for each result the last flight in which it was measured
 */
export function readMeasureAgain(
	changes: readonly Change[],
	lastFlights: ReadonlyMap<string, number>,
	rules: FoldRules,
): MeasureAgain[] {
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
