import type { EntryOf, FieldsOf } from '@stillmast/formats/entry';
import type { RecordState } from '../fold/state.js';

/** What a flight is flown under, each by the name that the `flight` entry gives it. Units are in the names. */
export const conditionQuantities = [
	'massKg',
	'cgMm',
	'fuelKg',
	'oatC',
	'pressureAltitudeFt',
	'qnhHpa',
	'windFromDeg',
	'windKt',
] as const;
export type ConditionQuantity = (typeof conditionQuantities)[number];

/** One condition of a flight, with the entry that says it. */
export interface FlightCondition {
	readonly quantity: ConditionQuantity;
	readonly value: number;
	/** The first who said this value: later entries only repeat it. */
	readonly entry: EntryOf<'flight'> | EntryOf<'header'>;
}

const inWeather: ReadonlySet<string> = new Set(['oatC', 'pressureAltitudeFt', 'qnhHpa', 'windFromDeg', 'windKt']);

/** Header field under which something is written down for a flight before it is opened: `flight/2/oatC`, `flight/2/crew`. */
export function conditionField(flight: number, quantity: ConditionQuantity | 'crew'): string {
	return `flight/${flight}/${quantity}`;
}

/** Known conditions of a flight: stated with the flight itself, else written down for it before. @rule JDG-13 */
export function flightConditions(state: RecordState, flight: number): readonly FlightCondition[] {
	const opened = openedOf(state, flight);
	return conditionQuantities.flatMap((quantity): FlightCondition[] => {
		const stated = statedIn(opened, quantity);
		const noted = state.header.get(conditionField(flight, quantity))?.holds ?? null;
		if (noted !== null && typeof noted.value === 'number' && (stated === undefined || stated === noted.value))
			return [{ quantity, value: noted.value, entry: noted }];
		return stated === undefined || opened === undefined ? [] : [{ quantity, value: stated, entry: opened }];
	});
}

/** Who is on board: stated with the flight, else as written down for it, `seat: name`, one a line. */
export function flightCrew(state: RecordState, flight: number): NonNullable<FieldsOf<'flight'>['crew']> {
	const stated = openedOf(state, flight)?.crew;
	if (stated !== undefined) return stated;
	const noted = state.header.get(conditionField(flight, 'crew'))?.holds?.value;
	return typeof noted === 'string' ? readCrew(noted) : [];
}

/** Lines `seat: name`; a line without a colon is a name alone. */
export function readCrew(text: string): NonNullable<FieldsOf<'flight'>['crew']> {
	return text
		.split('\n')
		.map((line) => line.trim())
		.filter((line) => line !== '')
		.slice(0, 12)
		.map((line) => {
			const at = line.indexOf(':');
			const seat = at < 0 ? '' : line.slice(0, at).trim().slice(0, 120);
			return {
				seat,
				name: line
					.slice(at + 1)
					.trim()
					.slice(0, 120),
			};
		})
		.filter(({ name }) => name !== '');
}

/**
 * The fields of a `flight` entry that opens a flight, or states it anew, with everything known of its conditions.
 * @param changed values that are said now; null takes one back
 */
export function flightFields(
	state: RecordState,
	flight: number,
	changed: Readonly<Partial<Record<ConditionQuantity, number | null>>> = {},
	crew: NonNullable<FieldsOf<'flight'>['crew']> = flightCrew(state, flight),
): FieldsOf<'flight'> {
	const opened = openedOf(state, flight);
	const known = new Map(flightConditions(state, flight).map(({ quantity, value }) => [quantity, value]));
	const pick = (isWeather: boolean) =>
		Object.fromEntries(
			conditionQuantities
				.filter((quantity) => inWeather.has(quantity) === isWeather)
				.flatMap((quantity) => {
					const value = quantity in changed ? changed[quantity] : known.get(quantity);
					return value === undefined || value === null ? [] : [[quantity, value] as const];
				}),
		);
	const words = opened?.weather?.text;
	const weather = { ...pick(true), ...(words === undefined ? {} : { text: words }) };
	return {
		flight,
		state: 'opened',
		...(crew.length === 0 ? {} : { crew }),
		...pick(false),
		...(Object.keys(weather).length === 0 ? {} : { weather }),
		...(opened?.text === undefined ? {} : { text: opened.text }),
	};
}

/** While two openings differ, none says the conditions. */
function openedOf(state: RecordState, flight: number): EntryOf<'flight'> | undefined {
	return state.flights.find((one) => one.flight === flight)?.opened?.holds ?? undefined;
}

function statedIn(opened: EntryOf<'flight'> | undefined, quantity: ConditionQuantity): number | undefined {
	switch (quantity) {
		case 'massKg':
		case 'cgMm':
		case 'fuelKg':
			return opened?.[quantity];
		default:
			return opened?.weather?.[quantity];
	}
}
