import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState } from '@stillmast/record';
import { conditionField, flightConditions, flightCrew } from '@stillmast/record/judge';
import { clockText, penOf } from '$lib/check/people.view.js';
import { type DecimalMark, exactText } from '$lib/words/number.js';
import { prepare as words } from '$lib/words/prepare.js';
import { writing } from '$lib/words/writing.svelte.js';
import type { HeadLine, HeadValue } from './head-line.js';

type JobField = Exclude<keyof typeof words.fields, 'learned-from'>;
type Condition = keyof typeof words.conditionNames;

const hours = { unit: 'h', range: { low: 0, high: 200_000 } } as const;
const jobShapes: Readonly<Record<JobField, Pick<HeadLine, 'kind' | 'unit' | 'range'>>> = {
	purpose: { kind: 'words', unit: '' },
	workOrder: { kind: 'words', unit: '' },
	place: { kind: 'words', unit: '' },
	operator: { kind: 'words', unit: '' },
	airframeHours: { kind: 'number', ...hours },
	engineHours: { kind: 'number', ...hours },
};

const conditionShapes: Readonly<Record<Condition, Required<Pick<HeadLine, 'unit' | 'range'>>>> = {
	massKg: { unit: 'kg', range: { low: 0, high: 60_000 } },
	cgMm: { unit: 'mm', range: { low: -20_000, high: 20_000 } },
	fuelKg: { unit: 'kg', range: { low: 0, high: 20_000 } },
	oatC: { unit: '°C', range: { low: -80, high: 70 } },
	pressureAltitudeFt: { unit: 'ft', range: { low: -2000, high: 30_000 } },
	qnhHpa: { unit: 'hPa', range: { low: 850, high: 1100 } },
	windFromDeg: { unit: '°', range: { low: 0, high: 360 } },
	windKt: { unit: 'kt', range: { low: 0, high: 150 } },
};

/** The work: why, on which order, where, at which hours. */
export function jobLines(state: RecordState, mark: DecimalMark = writing.mark): HeadLine[] {
	return (Object.keys(jobShapes) as JobField[]).map((field) => ({
		field,
		...jobShapes[field],
		label: withUnit(words.fields[field], jobShapes[field].unit),
		wrote: headerValues(state, field, mark),
	}));
}

/** Mass and weather of one flight, and who is on board. */
export function conditionLines(state: RecordState, flight: number, mark: DecimalMark = writing.mark): HeadLine[] {
	const known = flightConditions(state, flight);
	const numbers = (Object.keys(conditionShapes) as Condition[]).map((quantity): HeadLine => {
		const one = known.find((condition) => condition.quantity === quantity);
		const { unit } = conditionShapes[quantity];
		return {
			field: quantity,
			kind: 'number',
			...conditionShapes[quantity],
			label: withUnit(words.conditionNames[quantity], unit),
			wrote: one === undefined ? [] : [headValue(state, one.entry, exactText(one.value, mark), unit)],
		};
	});
	return [...numbers, crewLine(state, flight)];
}

function crewLine(state: RecordState, flight: number): HeadLine {
	const crew = flightCrew(state, flight);
	const noted = state.header.get(conditionField(flight, 'crew'))?.holds;
	const entry = state.flights.find((one) => one.flight === flight)?.opened?.holds ?? noted;
	const typed = crew.map(({ seat, name }) => (seat === '' ? name : `${seat}: ${name}`)).join('\n');
	return {
		field: 'crew',
		kind: 'lines',
		label: words.crew,
		unit: '',
		wrote: crew.length === 0 || entry === undefined || entry === null ? [] : [headValue(state, entry, typed, '')],
	};
}

/** What the record has under a header field; nothing where it was emptied. */
export function headerValues(state: RecordState, field: string, mark: DecimalMark = writing.mark): HeadValue[] {
	const settled = state.header.get(field);
	const entries = settled?.holds ? [settled.holds] : (settled?.entries ?? []);
	return entries
		.filter(({ value }) => value !== '')
		.map((entry) => {
			const typed = typeof entry.value === 'number' ? exactText(entry.value, mark) : String(entry.value);
			return headValue(state, entry, typed, entry.unit);
		});
}

function headValue(
	state: RecordState,
	entry: EntryOf<'header'> | EntryOf<'flight'>,
	typed: string,
	unit: string,
): HeadValue {
	return {
		hash: entry.hash,
		typed,
		text: withUnit(typed, unit, ' '),
		pen: penOf(state, entry.by),
		time: clockText(entry.at),
	};
}

function withUnit(text: string, unit: string, between = ', '): string {
	return unit === '' ? text : `${text}${between}${unit}`;
}
