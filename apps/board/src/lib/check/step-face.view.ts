import { type Card, type CardField, type CardFieldOf, type CardStep, fieldSubjects } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import type { WallRow } from '$lib/parts/wall/wall.view.js';
import { fill } from '$lib/words/fill.js';
import { glass } from '$lib/words/glass.js';
import { numberText } from '$lib/words/number.js';
import { phasorText } from '$lib/words/vibration.js';
import { type Ask, digitsOf } from './ask.js';
import { type RampFace, rampFace } from './ramp-face.view.js';
import { partWords, type TimedPart, timedParts } from './timed-parts.view.js';
import { channelWords, wallRows } from './wall-rows.view.js';

/** One step on the glass: what to hold, which limits belong to it, what is written so far, what can be written. */
export interface StepFace {
	readonly step: CardStep;
	readonly limits: readonly LimitWords[];
	/** Vibration fields as lanes, in the order of the card. */
	readonly rows: readonly WallRow[];
	readonly done: readonly DoneField[];
	readonly writable: readonly WritableField[];
	/** What is held for a time, in the order flown; empty for other steps. */
	readonly timed: readonly TimedPart[];
	/** What a hold wants confirmed before it counts. */
	readonly confirmed: readonly DoneField[];
	readonly ramp: RampFace | null;
	/** Words of one's own: written after landing, never on the glass. */
	readonly texts: readonly { readonly id: string; readonly name: string }[];
}

export interface LimitWords {
	readonly id: string;
	readonly label: string;
	readonly limit: string;
	/** Side of the wall that may not be entered. */
	readonly side: 'left' | 'right';
}

export interface DoneField {
	readonly id: string;
	readonly name: string;
	readonly isDone: boolean;
}

export interface WritableField {
	readonly id: string;
	readonly ask: Ask;
	readonly label: string;
	/** Part of the field it belongs to, such as `on` of a consumer; null when it has none. */
	readonly part: string | null;
	/** What stands now, with its unit; null when nothing does. */
	readonly written: string | null;
}

export interface FaceInput {
	readonly state: RecordState;
	readonly card: Card;
	readonly typeData: TypeData;
	readonly flight: number;
	readonly run: number;
}

export function stepFace(input: FaceInput, stepId: string): StepFace | null {
	const { state, card, typeData, flight, run } = input;
	const step = card.steps.find(({ id }) => id === stepId);
	if (step === undefined) return null;
	const vibration = step.fields.filter((field) => field.kind === 'vibration');
	return {
		step,
		limits: step.lines.flatMap((lineId) => limitWords(typeData, lineId)),
		rows: vibration.flatMap((field) => {
			const rotor = typeData.rotors.find(({ id }) => id === field.rotor);
			if (rotor === undefined) return [];
			return wallRows(state, rotor, { flight, run }, [field.channel]).map((row) => ({ ...row, id: field.id }));
		}),
		done: step.fields.flatMap((field) => (field.kind === 'done' ? [doneField(input, field.id, field.name)] : [])),
		writable: step.fields.flatMap((field) => writableFields(input, field)),
		timed: timedParts(state, typeData, step, flight),
		confirmed: step.fields.flatMap((field) =>
			field.kind === 'done'
				? []
				: fieldSubjects(field, typeData)
						.filter(({ asks }) => asks === 'confirmation')
						.map(({ subject, name }) => doneField(input, subject, name)),
		),
		ramp: rampFace(state, typeData, step, flight),
		texts: step.fields.flatMap((field) => (field.kind === 'text' ? [{ id: field.id, name: field.name }] : [])),
	};
}

function doneField(input: FaceInput, id: string, name: string): DoneField {
	return { id, name, isDone: readingOf(input, id)?.holds?.value === true };
}

function writableFields(input: FaceInput, field: CardField): WritableField[] {
	const { typeData } = input;
	if (field.kind === 'vibration') {
		const rotor = typeData.rotors.find(({ id }) => id === field.rotor);
		const label = rotor === undefined ? field.channel : channelWords(rotor, field.channel);
		const ask = { kind: 'vibration', rotor: field.rotor, channel: field.channel } as const;
		return [{ id: field.id, ask, label, part: null, written: vibrationText(input, field) }];
	}
	return fieldSubjects(field, typeData).flatMap(({ subject, name, unit, resolution, asks, part }) => {
		if (asks !== 'number' || resolution === null) return [];
		const value = readingOf(input, subject)?.holds?.value;
		const written = typeof value === 'number' ? `${numberText(value, { digits: digitsOf(resolution) })} ${unit}` : null;
		const label = part === null ? name : fill(glass.part, { part: partWords(part), name });
		return [{ id: subject, ask: { kind: 'number', subject, unit, resolution } as const, label, part, written }];
	});
}

function limitWords(typeData: TypeData, lineId: string): LimitWords[] {
	const line = typeData.limits.find(({ id }) => id === lineId);
	const limit = line?.above ?? line?.below;
	if (line === undefined || limit === undefined) return [];
	const side = line.above === undefined ? 'left' : 'right';
	return [{ id: line.id, label: line.words, limit: `${numberText(limit, { digits: 1 })} ${line.unit}`, side }];
}

function readingOf({ state, flight, run }: FaceInput, subject: string) {
	return state.readings.find(
		(group) => group.subject === subject && group.flight === flight && (group.run === run || group.run === null),
	);
}

function vibrationText({ state, flight, run }: FaceInput, field: CardFieldOf<'vibration'>): string | null {
	const held = state.vibrations.find(
		(group) =>
			group.rotor === field.rotor && group.channel === field.channel && group.flight === flight && group.run === run,
	)?.holds;
	if (held === undefined || held === null) return null;
	return phasorText(held.amplitudeIps, held.phaseDeg);
}
