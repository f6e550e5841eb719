import type { TypeData } from '../type-data/index.js';
import type { CardField, CardFieldOf } from './schema.js';

/** One value that a field asks for, under the subject of the `reading` that holds it. */
export interface FieldSubject {
	readonly subject: string;
	/** Quantity that it is: `torquePct`, `bleedOff`. */
	readonly quantity: string;
	readonly name: string;
	/** Empty for a confirmation, whose value is true or false. */
	readonly unit: string;
	readonly resolution: number | null;
	readonly asks: 'number' | 'confirmation';
	/** Part of the field, in the order to be written: `on` of a consumer, `2` of the runs; null when it has no parts. */
	readonly part: string | null;
}

/** What the type data say of the values of fields. */
export type InstrumentData = Pick<TypeData, 'holds' | 'consumers' | 'autorotation'>;

/** Parts of a consumer's check in the order flown. */
export const consumerParts = ['off-before', 'on', 'off-after'] as const;
export type ConsumerPart = (typeof consumerParts)[number];

/**
 * Every `reading` that a field asks for, in the order to be written; none for vibration (entry `vibration`), text
 * (entry `narrative`), ramps (entry `attempt`), and where the type data do not have what the field names.
 */
export function fieldSubjects(field: CardField, typeData: InstrumentData): readonly FieldSubject[] {
	switch (field.kind) {
		case 'number':
			return [number(field.id, { ...field, id: field.id }, null)];
		case 'done':
			return [confirmation(field.id, field.id, field.name)];
		case 'hold':
			return holdSubjects(field, typeData);
		case 'consumer':
			return consumerSubjects(field, typeData);
		case 'autorotation':
			return autorotationSubjects(field, typeData);
		case 'vibration':
		case 'text':
		case 'ramp':
			return [];
	}
}

/** Subject of the free text of a field in one flight; texts of several pens stand side by side. */
export function textSubject(flight: number, fieldId: string): string {
	return `${flight}/${fieldId}`;
}

interface Instrument {
	readonly id: string;
	readonly name: string;
	readonly unit: string;
	readonly resolution: number;
}

function holdSubjects(field: CardFieldOf<'hold'>, typeData: InstrumentData): readonly FieldSubject[] {
	const hold = typeData.holds?.find(({ id }) => id === field.hold);
	if (hold === undefined) return [];
	return [
		...hold.confirmed.map(({ quantity, name }) => confirmation(`${field.id}/${quantity}`, quantity, name)),
		...hold.parameters.map((parameter) => number(`${field.id}/${parameter.id}`, parameter, null)),
	];
}

function consumerSubjects(field: CardFieldOf<'consumer'>, typeData: InstrumentData): readonly FieldSubject[] {
	const check = typeData.consumers.find(({ id }) => id === field.consumer)?.check;
	if (check === undefined) return [];
	return consumerParts.flatMap((part) =>
		[check.temperature, check.torque].map((one) => number(`${field.id}/${part}/${one.id}`, one, part)),
	);
}

function autorotationSubjects(field: CardFieldOf<'autorotation'>, typeData: InstrumentData): readonly FieldSubject[] {
	const parameters = typeData.autorotation?.parameters ?? [];
	return Array.from({ length: field.runs }, (_, at) => String(at + 1)).flatMap((part) =>
		// Begins with `autorotation`, so that a change on a rotor makes it stale.
		parameters.map((parameter) => number(`autorotation/${field.id}/${part}/${parameter.id}`, parameter, part)),
	);
}

function number(subject: string, { id, name, unit, resolution }: Instrument, part: string | null): FieldSubject {
	return { subject, quantity: id, name, unit, resolution, asks: 'number', part };
}

function confirmation(subject: string, quantity: string, name: string): FieldSubject {
	return { subject, quantity, name, unit: '', resolution: null, asks: 'confirmation', part: null };
}
