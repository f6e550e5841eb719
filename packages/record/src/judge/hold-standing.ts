import type { PowerVerdict } from '@stillmast/core/power';
import { type ChartProblem, chartInputs, type MarginProblem, type Margins, marginsOf } from '@stillmast/core/power';
import { type CardFieldOf, fieldSubjects } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import { chartOf, type HoldData, type TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '../fold/state.js';
import { holdOf, readingSd, type Written, writtenOf } from './written.js';

/** A power assurance hold as it stands in one flight. */
export interface HoldStanding {
	readonly kind: 'hold';
	/** The type's hold; null when the type data have none of that name. */
	readonly rule: HoldData | null;
	readonly missing: readonly string[];
	readonly differing: readonly string[];
	/** `not-told`: nobody has timed it. */
	readonly steady: 'proved' | 'not-proved' | 'not-told';
	/** The timing it goes by. */
	readonly held: EntryOf<'hold'> | null;
	/** Confirmations that say the opposite of what the hold needs. */
	readonly notMet: readonly string[];
	/** Every chart, and the one that governs; null while something is missing or outside a chart. */
	readonly margins: Margins | null;
	readonly problem: ChartProblem | MarginProblem | null;
	/** Of the governing chart; null unless everything is written, agreed, confirmed and proved steady. */
	readonly verdict: PowerVerdict | null;
}

/**
 * A hold by its readings (or by what a feed averaged, where nobody wrote a reading), its confirmations and its timing.
 * Margins are told as soon as the numbers are there; a verdict only once the hold counts. @rule JDG-7
 */
export function holdStanding(
	state: RecordState,
	typeData: TypeData,
	field: CardFieldOf<'hold'>,
	flight: number,
): HoldStanding {
	const rule = typeData.holds?.find(({ id }) => id === field.hold) ?? null;
	const written = writtenOf(state, flight, fieldSubjects(field, typeData));
	const held = holdOf(state, flight, field.id);
	if (rule === null) return { ...nothing, held };
	const quantities = quantitiesOf(rule, field.id, written, held);
	const missing = written.missing.filter((subject) => quantities.get(subject) === undefined);
	const notMet = rule.confirmed
		.map(({ quantity, equals }) => ({ subject: `${field.id}/${quantity}`, equals }))
		.filter(({ subject, equals }) => written.values.has(subject) && written.values.get(subject)?.value !== equals)
		.map(({ subject }) => subject);
	const steady = held === null ? 'not-told' : isProved(held, rule) ? 'proved' : 'not-proved';
	const judged = judge(rule, typeData, field.id, quantities);
	const margins = judged?.ok ? judged.value : null;
	const counts = missing.length + written.differing.length + notMet.length === 0 && steady === 'proved';
	return {
		kind: 'hold',
		rule,
		missing,
		differing: written.differing,
		steady,
		held,
		notMet,
		margins,
		problem: judged?.ok === false ? judged.problem : null,
		verdict: counts ? (margins?.governing.verdict ?? null) : null,
	};
}

const nothing = {
	kind: 'hold',
	rule: null,
	missing: [],
	differing: [],
	steady: 'not-told',
	notMet: [],
	margins: null,
	problem: null,
	verdict: null,
} as const;

interface Value {
	readonly value: number;
	readonly sd: number;
}

function isProved({ complete, heldS }: EntryOf<'hold'>, { stabiliseS, recordS }: HoldData): boolean {
	return complete && heldS >= stabiliseS + recordS;
}

/** By subject; a reading stands before a feed's average. Differing readings give no value. */
function quantitiesOf(
	{ parameters }: HoldData,
	fieldId: string,
	{ values, differing }: Written,
	held: EntryOf<'hold'> | null,
): ReadonlyMap<string, Value> {
	const known = new Map<string, Value>();
	for (const { id, resolution, sd } of parameters) {
		const subject = `${fieldId}/${id}`;
		const read = values.get(subject);
		const feed = held?.parameters?.[id];
		if (typeof read?.value === 'number') {
			known.set(subject, { value: read.value, sd: readingSd(read.sd ?? sd, read.resolution ?? resolution) });
		} else if (feed !== undefined && !differing.includes(subject)) {
			known.set(subject, { value: feed.mean, sd: readingSd(sd ?? feed.sd, resolution) });
		}
	}
	return known;
}

function judge(rule: HoldData, typeData: TypeData, fieldId: string, quantities: ReadonlyMap<string, Value>) {
	const [first, ...rest] = rule.charts.flatMap((id) => chartOf(typeData, id) ?? []);
	if (first === undefined || rest.length + 1 < rule.charts.length) return null;
	const charts = [first, ...rest] as const;
	const results = new Set(charts.map(({ result }) => result.id));
	const asked = new Set([...results, ...charts.flatMap((chart) => chartInputs(chart))]);
	const known = [...asked].flatMap((id) => {
		const value = quantities.get(`${fieldId}/${id}`);
		return value === undefined ? [] : [{ id, ...value }];
	});
	if (known.length < asked.size) return null;
	const of = (list: typeof known) => Object.fromEntries(list.map(({ id, value }) => [id, value]));
	return marginsOf([...charts], {
		observed: of(known.filter(({ id }) => results.has(id))),
		conditions: of(known.filter(({ id }) => !results.has(id))),
		sd: Object.fromEntries(known.map(({ id, sd }) => [id, sd])),
	});
}
