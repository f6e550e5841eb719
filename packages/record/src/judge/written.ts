import type { FieldSubject } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState } from '../fold/state.js';

/** What stands under a field's subjects in one flight. */
export interface Written {
	/** By subject: the reading that holds. */
	readonly values: ReadonlyMap<string, EntryOf<'reading'>>;
	/** Subjects nobody has written. */
	readonly missing: readonly string[];
	/** Subjects whose readings differ and are not agreed; none of them is judged. */
	readonly differing: readonly string[];
}

/** Readings of a field's subjects in a flight; of several runs the newest. */
export function writtenOf(state: RecordState, flight: number, subjects: readonly FieldSubject[]): Written {
	const values = new Map<string, EntryOf<'reading'>>();
	const missing: string[] = [];
	const differing: string[] = [];
	for (const { subject } of subjects) {
		const group = state.readings.findLast((one) => one.flight === flight && one.subject === subject);
		if (group === undefined) missing.push(subject);
		else if (group.holds === null) differing.push(subject);
		else values.set(subject, group.holds);
	}
	return { values, missing, differing };
}

/** The newest `hold` entry of a field (or a part of it) in a flight. */
export function holdOf(state: RecordState, flight: number, field: string): EntryOf<'hold'> | null {
	return state.of.hold.findLast((entry) => entry.flight === flight && entry.field === field) ?? null;
}

/**
 * Scatter of one reading: its own standard deviation or the type's, and the step it is read in taken as equally likely
 * throughout (its width over the root of 12: JCGM 100:2008, 4.3.7).
 */
export function readingSd(sd: number | undefined, resolution: number): number {
	return Math.hypot(sd ?? 0, resolution / Math.sqrt(12));
}
