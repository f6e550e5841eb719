import type { RecordState } from '@stillmast/record';
import { fill } from '$lib/words/fill.js';
import { prepare as words } from '$lib/words/prepare.js';
import type { HeadLine, HeadValue } from './head-line.js';
import { headerValues } from './head-lines.view.js';

/** Everything under which measuring gear stands in the header: `gear/1` is its name, the rest hangs below it. */
const gearField = /^gear\/(\d+)(?:\/|$)/;
const parts = ['name', 'serial', 'calibrationDue', 'channels'] as const;

/** One instrument as it is written down. */
export interface Gear {
	readonly number: number;
	readonly lines: readonly HeadLine[];
	/** "vibration set, serial 0114, calibration due 2027-03-01, lateral at the hub". */
	readonly text: string;
	/** Who wrote its name. */
	readonly by: HeadValue | null;
	/** A sentence, when its calibration was due before a flight; null else. */
	readonly overdue: string | null;
}

export function isGearField(field: string): boolean {
	return gearField.test(field);
}

/** Instruments in the order of their numbers; those whose every box is empty are left out. */
export function gearOf(state: RecordState): Gear[] {
	const numbers = [...state.header.keys()].flatMap((field) => gearField.exec(field)?.[1] ?? []).map(Number);
	return [...new Set(numbers)]
		.sort((a, b) => a - b)
		.map((number) => gearAt(state, number))
		.filter(({ lines }) => lines.some(({ wrote }) => wrote.length > 0));
}

/** An instrument nobody has written down yet: the next number that is free. */
export function newGear(state: RecordState): Gear {
	const numbers = [...state.header.keys()].flatMap((field) => gearField.exec(field)?.[1] ?? []).map(Number);
	return gearAt(state, Math.max(0, ...numbers) + 1);
}

function gearAt(state: RecordState, number: number): Gear {
	const lines = parts.map((part): HeadLine => {
		const field = part === 'name' ? `gear/${number}` : `gear/${number}/${part}`;
		return {
			field,
			label: words.gearFields[part],
			unit: '',
			kind: part === 'calibrationDue' ? 'day' : 'words',
			wrote: headerValues(state, field),
		};
	});
	const [name, serial, due, channels] = lines.map(({ wrote }) => wrote.map(({ typed }) => typed).join(' / '));
	return {
		number,
		lines,
		by: lines.flatMap(({ wrote }) => wrote)[0] ?? null,
		text: [
			name || fill(words.gearOf, { number: String(number) }),
			...(serial ? [fill(words.gearSerial, { serial })] : []),
			// an instrument written in one line says all of it there
			...(due ? [fill(words.gearDue, { day: due })] : serial ? [words.gearNoDue] : []),
			...(channels ? [channels] : []),
		].join(', '),
		overdue: due ? overdueWords(state, name || '', due) : null,
	};
}

/** Good until the end of the day it is due. */
function overdueWords(state: RecordState, gear: string, due: string): string | null {
	const late = state.flights.find(({ opened }) => (opened?.entries[0]?.at.slice(0, 10) ?? '') > due);
	return late === undefined ? null : fill(words.gearOverdue, { gear, day: due, flight: String(late.flight) });
}
