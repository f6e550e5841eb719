import type { KnownEntry } from '@stillmast/formats/entry';
import type { EntrySet } from '../set/entry-set.js';

/** Parts of the state that are read each for itself; the first word of a part's key. Ids hold no spaces. */
export type PartName =
	| 'reading'
	| 'vibration'
	| 'flight'
	| 'header'
	| 'review'
	| 'limit'
	| 'rotor'
	| 'narrative'
	| 'reply';

export type PartKey = `${PartName} ${string}`;

/** The part that an entry belongs to; null for kinds that stand in lists only. */
export function partOf(entry: KnownEntry, set: EntrySet): PartKey | null {
	switch (entry.kind) {
		case 'reading':
			return `reading ${entry.flight} ${entry.run ?? ''} ${entry.subject}`;
		case 'vibration':
			return `vibration ${entry.flight} ${entry.run} ${entry.rotor} ${entry.channel}`;
		case 'flight':
		case 'step':
		case 'run':
			return `flight ${entry.flight}`;
		case 'use':
			return entry.what === 'run' ? `flight ${entry.flight}` : null;
		case 'header':
			return `header ${entry.field}`;
		case 'review':
			return `review ${entry.flight}/${entry.item}`;
		case 'witness':
		case 'memory':
		case 'decision':
			return `limit ${entry.flight} ${entry.parameter}`;
		case 'adjustment':
			return `rotor ${entry.rotor}`;
		case 'inspection': {
			const rotor = set.get(entry.adjustment)?.rotor;
			return typeof rotor === 'string' ? `rotor ${rotor}` : null;
		}
		case 'narrative':
			return `narrative ${entry.subject}`;
		case 'reply':
			return `reply ${entry.to}`;
		default:
			return null;
	}
}

export function nameOf(part: PartKey): PartName {
	return part.slice(0, part.indexOf(' ')) as PartName;
}

/** What follows the part's name. */
export function idOf(part: PartKey): string {
	return part.slice(part.indexOf(' ') + 1);
}
