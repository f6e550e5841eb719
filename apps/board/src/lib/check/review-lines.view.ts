import type { Card, CardField } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import type { ReadingGroup, RecordState, VibrationGroup } from '@stillmast/record';
import { type PenName, penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { entryText } from './agree.view.js';
import { clockText, penOf } from './people.view.js';
import { channelWords } from './wall-rows.view.js';

/** One line of the card as flown in one flight: what the pilot wrote at the left, the engineer and support at the right. */
export interface ReviewLine {
	readonly id: string;
	readonly stepId: string;
	readonly step: string;
	readonly what: string;
	readonly left: readonly Wrote[];
	readonly right: readonly Wrote[];
	/** "agreed 0.13 ips (E 14:52Z)", or null. */
	readonly agreed: string | null;
}

export interface Wrote {
	readonly hash: string;
	readonly text: string;
	/** Key that wrote it. */
	readonly by: string;
	/** Why it was struck out; null while it counts. */
	readonly reason: string | null;
	readonly pen: PenName | null;
	readonly time: string;
	readonly isStruck: boolean;
	readonly isAddedAfter: boolean;
}

type Value = EntryOf<'vibration'> | EntryOf<'reading'>;

export function reviewLines(state: RecordState, card: Card, typeData: TypeData, flight: number): ReviewLine[] {
	const added = new Set(state.signing.added);
	const struck = struckValues(state);
	const reasons = new Map(state.of.strike.map(({ target, reason }) => [target, reason]));
	return card.steps.flatMap((step) =>
		step.fields.map((field) => {
			const group = groupOf(state, field, flight);
			const values = [...(group?.entries ?? []), ...struck.filter((one) => isOf(one, field, flight))] as Value[];
			const wrote = values.map((entry) => ({
				hash: entry.hash,
				text: entryText(entry),
				by: entry.by,
				reason: reasons.get(entry.hash) ?? null,
				pen: penOf(state, entry.by),
				time: clockText(entry.at),
				isStruck: struck.includes(entry),
				isAddedAfter: added.has(entry.hash),
			}));
			return {
				id: `${step.id}/${field.id}`,
				stepId: step.id,
				step: step.title,
				what: whatOf(field, typeData),
				left: wrote.filter(({ pen }) => pen === 'pilot'),
				right: wrote.filter(({ pen }) => pen !== 'pilot'),
				agreed: agreedWords(state, group),
			};
		}),
	);
}

function groupOf(state: RecordState, field: CardField, flight: number): VibrationGroup | ReadingGroup | undefined {
	return field.kind === 'vibration'
		? state.vibrations.findLast(
				(one) => one.flight === flight && one.rotor === field.rotor && one.channel === field.channel,
			)
		: state.readings.findLast((one) => one.flight === flight && one.subject === field.id);
}

function struckValues(state: RecordState): Value[] {
	return [...state.judged.values()].flatMap(({ entry, judgement }) =>
		judgement.state === 'struck' && (entry.kind === 'vibration' || entry.kind === 'reading')
			? [entry as unknown as Value]
			: [],
	);
}

function isOf(entry: Value, field: CardField, flight: number): boolean {
	if (entry.flight !== flight) return false;
	return entry.kind === 'vibration'
		? field.kind === 'vibration' && entry.rotor === field.rotor && entry.channel === field.channel
		: field.kind !== 'vibration' && entry.subject === field.id;
}

function whatOf(field: CardField, typeData: TypeData): string {
	if (field.kind !== 'vibration') return field.name;
	const rotor = typeData.rotors.find(({ id }) => id === field.rotor);
	return rotor === undefined ? field.channel : channelWords(rotor, field.channel);
}

function agreedWords(state: RecordState, group: VibrationGroup | ReadingGroup | undefined): string | null {
	if (group === undefined || group.agree === null || group.holds === null) return null;
	return fill(journey.review.agreed, {
		value: entryText(group.holds),
		pen: penInitial(penOf(state, group.agree.by)),
		time: clockText(group.agree.at),
	});
}
