import type { Card, CardFieldOf, CardStep } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import type { PadRule } from '$lib/parts/pad/pad.view.js';
import type { WallRow } from '$lib/parts/wall/wall.view.js';
import { type DecimalMark, numberText } from '$lib/words/number.js';
import { channelWords, wallRows } from './wall-rows.view.js';

/** One step on the glass: what to hold, which limits belong to it, what is written so far, what can be written. */
export interface StepFace {
	readonly step: CardStep;
	readonly limits: readonly LimitWords[];
	/** Vibration fields as lanes, in the order of the card. */
	readonly rows: readonly WallRow[];
	readonly done: readonly DoneField[];
	readonly writable: readonly WritableField[];
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
	readonly field: CardFieldOf<'number' | 'vibration'>;
	readonly label: string;
	/** What stands now, with its unit; null when nothing does. */
	readonly written: string | null;
}

export interface FaceInput {
	readonly state: RecordState;
	readonly card: Card;
	readonly typeData: TypeData;
	readonly flight: number;
	readonly run: number;
	readonly mark: DecimalMark;
}

export function stepFace(input: FaceInput, stepId: string): StepFace | null {
	const { state, card, typeData, flight, run } = input;
	const step = card.steps.find(({ id }) => id === stepId);
	if (step === undefined) return null;
	const vibration = step.fields.filter((field) => field.kind === 'vibration');
	return {
		step,
		limits: step.lines.flatMap((lineId) => limitWords(typeData, lineId, input.mark)),
		rows: vibration.flatMap((field) => {
			const rotor = typeData.rotors.find(({ id }) => id === field.rotor);
			if (rotor === undefined) return [];
			return wallRows(state, rotor, { flight, run }, [field.channel]).map((row) => ({ ...row, id: field.id }));
		}),
		done: step.fields.flatMap((field) =>
			field.kind === 'done'
				? [{ id: field.id, name: field.name, isDone: readingOf(input, field.id)?.holds?.value === true }]
				: [],
		),
		writable: step.fields.flatMap((field) =>
			field.kind === 'number' || field.kind === 'vibration'
				? [{ field, label: fieldLabel(field, typeData), written: writtenText(input, field) }]
				: [],
		),
	};
}

/** Range and decimals of a field's number, and what the pad asks for first. */
export function padRuleOf(field: WritableField['field'], part: 'amplitude' | 'phase', mark: DecimalMark): PadRule {
	if (field.kind === 'number') return { low: 0, high: 100_000, digits: 1, unit: field.unit, mark };
	return part === 'amplitude'
		? { low: 0, high: 9.99, digits: 2, unit: 'ips', mark }
		: { low: 0, high: 359, digits: 0, unit: '\u00b0', mark };
}

function fieldLabel(field: WritableField['field'], typeData: TypeData): string {
	if (field.kind === 'number') return field.name;
	const rotor = typeData.rotors.find(({ id }) => id === field.rotor);
	return rotor === undefined ? field.channel : channelWords(rotor, field.channel);
}

function limitWords(typeData: TypeData, lineId: string, mark: DecimalMark): LimitWords[] {
	const line = typeData.limits.find(({ id }) => id === lineId);
	const limit = line?.above ?? line?.below;
	if (line === undefined || limit === undefined) return [];
	const side = line.above === undefined ? 'left' : 'right';
	return [{ id: line.id, label: line.words, limit: `${numberText(limit, { digits: 1, mark })} ${line.unit}`, side }];
}

function readingOf({ state, flight, run }: FaceInput, subject: string) {
	return state.readings.find(
		(group) => group.subject === subject && group.flight === flight && (group.run === run || group.run === null),
	);
}

function writtenText(input: FaceInput, field: WritableField['field']): string | null {
	const { state, flight, run, mark } = input;
	if (field.kind === 'number') {
		const value = readingOf(input, field.id)?.holds?.value;
		return typeof value === 'number' ? `${numberText(value, { digits: 1, mark })} ${field.unit}` : null;
	}
	const held = state.vibrations.find(
		(group) =>
			group.rotor === field.rotor && group.channel === field.channel && group.flight === flight && group.run === run,
	)?.holds;
	if (held === undefined || held === null) return null;
	const amplitude = `${numberText(held.amplitudeIps, { digits: 2, mark })} ips`;
	return held.phaseDeg === null ? amplitude : `${amplitude} ${numberText(held.phaseDeg, { digits: 0, mark })}\u00b0`;
}
