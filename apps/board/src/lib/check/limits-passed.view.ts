import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState } from '@stillmast/record';
import type { LimitCase, LineCase } from '@stillmast/record/judge';
import { type BarAxis, rangeText, type TimeBarRow } from '$lib/parts/time-bars/time-bars.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { limitsPassed as words } from '$lib/words/limits-passed.js';
import { numberText } from '$lib/words/number.js';
import { penOf } from './people.view.js';

type LimitLine = LineCase['line'];

/** One limit passed, or perhaps passed, as one reader may see it. */
export interface CaseView {
	readonly id: string;
	readonly title: string;
	readonly isSettled: boolean;
	/** Whose answers stay shut for this reader until their own is written; empty when all is open. */
	readonly hidden: readonly string[];
	/** This reader's own answers. */
	readonly own: readonly EntryOf<'witness'>[];
	readonly governing: LineCase | null;
}

/** How a parameter is called: by the type's words where the card has them, else its id. */
export function parameterWords(parameter: string): string {
	return Object.hasOwn(words.parameters, parameter)
		? words.parameters[parameter as keyof typeof words.parameters]
		: parameter;
}

/**
 * @param ownKey the reader's key
 * @param isWitness whether the reader's role may say what it saw: such a reader answers before others' answers open
 */
export function caseView(one: LimitCase, state: RecordState, ownKey: string, isWitness: boolean): CaseView {
	const { witnesses, memories } = one.evidence;
	const own = witnesses.filter(({ by }) => by === ownKey);
	const others = witnesses.filter(({ by }) => by !== ownKey).map(({ by }) => penInitial(penOf(state, by)));
	const isShut = isWitness && own.length === 0;
	return {
		id: `${one.flight}/${one.parameter}`,
		title: fill(words.caseName, { parameter: parameterWords(one.parameter), flight: String(one.flight) }),
		isSettled: one.isSettled,
		hidden: isShut ? [...new Set(others), ...(memories.length > 0 ? [words.hiddenInstrument] : [])] : [],
		own,
		governing: one.lines.find(({ line }) => line.id === one.governing) ?? null,
	};
}

/** "torque, above 40 kt, at most 92.7 %". */
export function lineWords(line: LimitLine): string {
	const template = line.above === undefined ? english.wall.atLeast : english.wall.atMost;
	const limit = `${numberText(line.above ?? line.below ?? 0, { digits: 1 })} ${line.unit}`;
	return fill(words.line, { words: line.words, limit: fill(template, { limit }) });
}

export function allowedWords(line: LimitLine): string {
	return line.maxSeconds === 0
		? words.never
		: fill(words.allowed, { time: `${numberText(line.maxSeconds, { digits: 0 })} s` });
}

/** Who an entry of evidence comes from: "P", or the instrument by its name. */
export function whoOf(one: LimitCase, state: RecordState, id: string): string {
	const witness = one.evidence.witnesses.find(({ hash }) => hash === id);
	if (witness !== undefined) return penInitial(penOf(state, witness.by));
	const memory = one.evidence.memories.find(({ hash }) => hash === id);
	return memory === undefined || memory.instrument === '' ? words.hiddenInstrument : memory.instrument;
}

export interface Bars {
	readonly rows: readonly TimeBarRow[];
	readonly axis: BarAxis;
	readonly unitWords: string;
	readonly label: string;
}

interface Said {
	readonly id: string;
	readonly label: string;
	readonly source: TimeBarRow['source'];
	readonly pen: TimeBarRow['pen'];
	readonly least: number | null;
	readonly most: number | null;
	readonly isSaid: boolean;
}

/** How far the value went, by each witness and instrument and by all together, against the line's wall. */
export function peakBars(one: LimitCase, { line, found }: LineCase, state: RecordState): Bars {
	const sense = line.below === undefined ? 1 : -1;
	const said: Said[] = [
		...one.evidence.witnesses.map((entry) => witnessSaid(entry, state, entry.peakSure, entry.peakPossible)),
		...one.evidence.memories.map((entry) => {
			const about = entry.peakAccuracy;
			const [least, most] =
				entry.peak === null || about === null
					? [null, null]
					: [entry.clearedAt === null ? null : entry.peak - sense * about, entry.peak + sense * about];
			return memorySaid(entry, least, most, entry.peak !== null);
		}),
		together(found.peak),
	];
	const limit = line.above ?? line.below ?? 0;
	const values = [limit, ...said.flatMap(({ least, most }) => [least, most].filter((value) => value !== null))];
	const room = Math.max(0.5, (Math.max(...values) - Math.min(...values)) * 0.3);
	const base = sense === 1 ? Math.min(...values) - room : Math.max(...values) + room;
	const stretch = (to: number) => (sense === 1 ? { from: base, to } : { from: to, to: base });
	return {
		rows: said.map((row) => ({
			...rowOf(row),
			atLeast: row.least === null ? null : stretch(row.least),
			atMost: row.most === null ? null : stretch(row.most),
			words: saidWords(row, line.unit, sense),
		})),
		axis: { unit: line.unit, wallAt: limit, forbidden: sense === 1 ? 'right' : 'left', zero: null },
		unitWords: line.unit,
		label: sense === 1 ? words.howHigh : words.howLow,
	};
}

/** How long it was beyond the line. */
export function durationBars(one: LimitCase, { line, found }: LineCase, state: RecordState): Bars {
	const said: Said[] = [
		...one.evidence.witnesses.map((entry) => witnessSaid(entry, state, entry.timeAtLeastS, entry.timeAtMostS)),
		...one.evidence.memories.map((entry) => {
			const { timeAboveS: timeS, timeAccuracyS: about } = entry;
			const isBounded = timeS !== null && about !== null;
			const least = isBounded ? Math.max(0, timeS - about) : null;
			return memorySaid(
				entry,
				entry.clearedAt === null ? null : least,
				isBounded ? timeS + about : null,
				timeS !== null,
			);
		}),
		together(found.durationS[0] === 0 && found.durationS[1] === null ? [Number.NaN, null] : found.durationS),
	];
	return {
		rows: said.map((row) => ({
			...rowOf(row),
			atLeast: row.least === null || row.least === 0 ? null : { from: 0, to: row.least },
			atMost: row.most === null ? null : { from: 0, to: row.most },
			words: saidWords(row, 's', 1),
		})),
		axis: { unit: 's', wallAt: line.maxSeconds, forbidden: 'right', zero: 0 },
		unitWords: english.limitsPassed.seconds,
		label: words.howLong,
	};
}

function witnessSaid(entry: EntryOf<'witness'>, state: RecordState, least: number | null, most: number | null): Said {
	return {
		id: entry.hash,
		label: words.saw,
		source: 'witness',
		pen: penOf(state, entry.by),
		least,
		most,
		isSaid: [entry.peakSure, entry.peakPossible, entry.timeAtLeastS, entry.timeAtMostS].some((one) => one !== null),
	};
}

function memorySaid(entry: EntryOf<'memory'>, least: number | null, most: number | null, isSaid: boolean): Said {
	const label = entry.instrument === '' ? words.hiddenInstrument : entry.instrument;
	return { id: entry.hash, label, source: 'memory', pen: null, least, most, isSaid };
}

/** What the core makes of all; where nobody said a least, it has none. */
function together([least, most]: readonly [number, number | null]): Said {
	return {
		id: 'together',
		label: words.all,
		source: 'agreed',
		pen: null,
		least: Number.isFinite(least) ? least : null,
		most,
		isSaid: true,
	};
}

function rowOf({ id, label, source, pen }: Said): Pick<TimeBarRow, 'id' | 'label' | 'source' | 'pen'> {
	return { id, label, source, pen };
}

function saidWords({ least, most, isSaid, source }: Said, unit: string, sense: 1 | -1): string {
	if (!isSaid) return source === 'witness' ? words.sawNone : words.nothingSaid;
	const [low, high] = sense === 1 ? [least, most] : [most, least];
	return rangeText(low, high, unit) ?? words.nothingSaid;
}

/** Sentences beside a line: contradictions, what lowered the most, and what a piece of evidence cannot do. */
export function lineSentences(one: LimitCase, { line, found, condition }: LineCase, state: RecordState): string[] {
	const who = (id: string) => whoOf(one, state, id);
	const amount = (quantity: 'peak' | 'duration', value: number) =>
		`${numberText(value, { digits: 1 })} ${quantity === 'peak' ? line.unit : 's'}`;
	return [
		...(condition === 'unknown' && line.when !== undefined ? [fill(words.conditionUnknown, { when: line.when })] : []),
		...found.contradictions.map(({ first, second }) =>
			fill(words.contradiction, { first: who(first.id), second: who(second.id) }),
		),
		...found.narrowings.map(({ quantity, from, to, evidence, decision }) => {
			const by = decision === null ? evidence.map(who).join(', ') : penInitial(penOf(state, decision.by));
			const named = { quantity: words.quantities[quantity], to: amount(quantity, to), who: by };
			return from === null
				? fill(words.narrowedFirst, named)
				: fill(words.narrowedBy, { ...named, from: amount(quantity, from) });
		}),
		...found.notes.map(({ code, id }) => fill(words.notes[code], { who: who(id) })),
	];
}
