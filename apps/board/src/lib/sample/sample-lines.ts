import type { Run } from '@stillmast/core/balance';
import type { Card, CardField } from '@stillmast/formats/card';
import type { FieldsOf, Kind } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';

/** A sample as its folder holds it: two runs with one change between them. */
export interface SampleCheck {
	readonly registration: string;
	readonly card: Card;
	readonly typeData: TypeData;
	/** Card and type data as text: what the record names by hash. */
	readonly documents: readonly [string, string];
	readonly runs: readonly Run[];
	/** The change as the record says it was made after flight 1. */
	readonly written: Readonly<Record<string, number>>;
}

/** One entry to write: whose pen, which kind, which fields. */
export type SampleLine = { readonly [K in Kind]: readonly ['engineer' | 'pilot', K, FieldsOf<K>] }[Kind];

/** What an engineer and a pilot would have written from opening the check to the end of its second flight. */
export function sampleLines({ card, typeData, runs, written }: SampleCheck): SampleLine[] {
	const rotor = typeData.rotors[0];
	if (rotor === undefined) return [];
	const found = Object.fromEntries(rotor.adjusters.map(({ id }) => [id, 0]));
	const change = (stage: 'planned' | 'made' | 'measured'): SampleLine => [
		'engineer',
		'adjustment',
		{ rotor: rotor.id, after: 1, stage, settings: written },
	];
	return [
		['engineer', 'header', { field: 'airframeHours', value: 2210.4, unit: 'h' }],
		['engineer', 'header', { field: 'workOrder', value: 'one main rotor blade changed', unit: '' }],
		['engineer', 'header', { field: 'place', value: 'Lynmoor, hangar 2', unit: '' }],
		['engineer', 'header', { field: 'gear/1', value: 'vibration set', unit: '' }],
		['engineer', 'header', { field: 'gear/1/serial', value: '0114', unit: '' }],
		['engineer', 'header', { field: 'gear/1/calibrationDue', value: '2027-03-01', unit: '' }],
		['engineer', 'adjustment', { rotor: rotor.id, after: 0, stage: 'found', settings: found }],
		...flown(card, 1, runs[0]),
		change('planned'),
		change('made'),
		change('measured'),
		...flown(card, 2, runs[1]),
	];
}

function flown(card: Card, flight: number, run: Run | undefined): SampleLine[] {
	const begun = { flight, run: 1, regime: null } as const;
	const crew = [
		{ seat: 'pilot', name: 'P (demo pilot)' },
		{ seat: 'left', name: 'E (demo engineer)' },
	];
	const weather = { oatC: 9, qnhHpa: 1021, windFromDeg: 200, windKt: 5 };
	return [
		['pilot', 'flight', { flight, state: 'opened', crew, massKg: 2480, cgMm: 4310, fuelKg: 360, weather }],
		['pilot', 'run', { ...begun, state: 'begun' }],
		...card.steps.flatMap((step): SampleLine[] => [
			...step.fields.flatMap((field) => writtenIn(field, flight, step.id, run)),
			['pilot', 'step', { flight, step: step.id, state: 'done' }],
		]),
		['pilot', 'run', { ...begun, state: 'ended' }],
		['pilot', 'flight', { flight, state: 'closed' }],
	];
}

function writtenIn(field: CardField, flight: number, step: string, run: Run | undefined): SampleLine[] {
	switch (field.kind) {
		case 'done':
			return [['pilot', 'reading', { flight, run: 1, step, subject: field.id, value: true, unit: '' }]];
		case 'vibration': {
			const reading = run?.readings[field.channel];
			if (reading === undefined) return [];
			const { amplitudeIps, phaseDeg = null } = reading;
			const { rotor, channel } = field;
			const resolutions = { resolutionIps: 0.01, resolutionDeg: 1 };
			return [['pilot', 'vibration', { flight, run: 1, rotor, channel, amplitudeIps, phaseDeg, ...resolutions }]];
		}
		default:
			return [];
	}
}
