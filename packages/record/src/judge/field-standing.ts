import { type CardField, fieldSubjects, textSubject } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import type { LimitLineWords, TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '../fold/state.js';
import { type AutorotationStanding, autorotationStanding } from './autorotation-standing.js';
import { type ConsumerStanding, consumerStanding } from './consumer-standing.js';
import { type HoldStanding, holdStanding } from './hold-standing.js';
import { lineSide } from './line-side.js';
import { type RampStanding, rampStanding } from './ramp-standing.js';
import { writtenOf } from './written.js';

export interface NumberStanding {
	readonly kind: 'number';
	readonly reading: EntryOf<'reading'> | null;
	readonly isDiffering: boolean;
	readonly line: LimitLineWords | null;
	/** Of the value as written; null without a line or a value. */
	readonly side: 'inside' | 'beyond' | null;
}

export interface DoneStanding {
	readonly kind: 'done';
	readonly isDone: boolean;
	readonly isDiffering: boolean;
}

export interface TextStanding {
	readonly kind: 'text';
	readonly texts: readonly EntryOf<'narrative'>[];
}

export interface VibrationStanding {
	readonly kind: 'vibration';
	/** Of the newest run of the flight that has one. */
	readonly reading: EntryOf<'vibration'> | null;
	readonly isDiffering: boolean;
}

export type FieldStanding =
	| NumberStanding
	| DoneStanding
	| TextStanding
	| VibrationStanding
	| HoldStanding
	| RampStanding
	| ConsumerStanding
	| AutorotationStanding;

/** How one field of the card stands in one flight, by its kind. */
export function fieldStanding(state: RecordState, typeData: TypeData, field: CardField, flight: number): FieldStanding {
	switch (field.kind) {
		case 'hold':
			return holdStanding(state, typeData, field, flight);
		case 'ramp':
			return rampStanding(state, typeData, field, flight);
		case 'consumer':
			return consumerStanding(state, typeData, field, flight);
		case 'autorotation':
			return autorotationStanding(state, typeData, field, flight);
		case 'text':
			return { kind: 'text', texts: state.narratives.get(textSubject(flight, field.id)) ?? [] };
		case 'vibration': {
			const group = state.vibrations.findLast(
				(one) => one.flight === flight && one.rotor === field.rotor && one.channel === field.channel,
			);
			return { kind: 'vibration', reading: group?.holds ?? null, isDiffering: group?.holds === null };
		}
		case 'done':
		case 'number': {
			const { values, differing } = writtenOf(state, flight, fieldSubjects(field, typeData));
			const reading = values.get(field.id) ?? null;
			const isDiffering = differing.length > 0;
			if (field.kind === 'done') return { kind: 'done', isDone: reading?.value === true, isDiffering };
			const line = typeData.limits.find(({ id }) => id === field.line) ?? null;
			const value = reading?.value;
			const side = line === null || typeof value !== 'number' ? null : lineSide(line, value);
			return { kind: 'number', reading, isDiffering, line, side };
		}
	}
}
