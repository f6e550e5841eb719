import type { Margin } from '@stillmast/core/power';
import type { Card } from '@stillmast/formats/card';
import { chartOf, type HoldData, type TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { type ChartTrend, type HoldStanding, holdStanding, powerTrends } from '@stillmast/record/judge';
import type { PowerChartData } from '$lib/parts/power/power-chart.view.js';
import type { LaneState } from '$lib/parts/wall/lane.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { judged as words } from '$lib/words/judged.js';
import { chanceText, numberText } from '$lib/words/number.js';
import { digitsOf } from './ask.js';
import { fieldsOf, newestFlightOf } from './card-fields.view.js';
import { type MarginTrend, marginTrend } from './hold-trend.view.js';
import { penOf } from './people.view.js';
import { chartData } from './power-chart-data.js';

/** One power assurance hold of the newest flight that has anything of it. */
export interface EngineSheet {
	readonly id: string;
	readonly title: string;
	/** What stands in the way of a verdict, and how the hold was held. */
	readonly sentences: readonly string[];
	readonly counts: boolean | null;
	readonly charts: readonly ChartSheet[];
}

export interface ChartSheet {
	readonly id: string;
	readonly name: string;
	readonly governs: boolean;
	readonly chart: PowerChartData;
	/** "margin +14 °C". */
	readonly margin: string;
	/** "+2.1 % in torque". */
	readonly torque: string;
	readonly limit: string;
	readonly state: Extract<LaneState, 'inside' | 'near-inside' | 'near-outside' | 'outside'>;
	readonly sureness: string;
	readonly notes: readonly string[];
	readonly reference: string;
	/** Over the flights of this check; null while there are too few. */
	readonly trend: MarginTrend | null;
}

export function engineSheets(state: RecordState, card: Card, typeData: TypeData): EngineSheet[] {
	return fieldsOf(card, 'hold').map((field) => {
		const flight = newestFlightOf(state, field.id);
		if (flight === null) return empty(field.id, field.name, fill(words.notFlown, { name: field.name }));
		const standing = holdStanding(state, typeData, field, flight);
		const { rule, margins } = standing;
		const trends = powerTrends(state, typeData, field);
		if (rule === null) return empty(field.id, field.name, fill(words.noRule, { name: field.name }));
		return {
			id: field.id,
			title: fill(words.titleIn, { name: field.name, flight: String(flight) }),
			sentences: holdSentences(standing, rule, field.id, state),
			counts: margins === null ? null : standing.verdict !== null,
			charts:
				margins === null
					? []
					: margins.charts.map((margin) => chartSheet(margin, margins.governing === margin, rule, typeData, trends)),
		};
	});
}

function empty(id: string, title: string, sentence: string): EngineSheet {
	return { id, title, sentences: [sentence], counts: null, charts: [] };
}

function holdSentences(standing: HoldStanding, rule: HoldData, fieldId: string, state: RecordState): string[] {
	const { held, missing, differing, notMet, problem } = standing;
	const names = (subjects: readonly string[]) => subjects.map((subject) => nameOf(rule, fieldId, subject)).join(', ');
	const neededS = rule.stabiliseS + rule.recordS;
	const seconds = { held: String(Math.floor(held?.heldS ?? 0)), needed: String(neededS) };
	const steady =
		held === null
			? words.steady['not-told']
			: standing.steady !== 'proved'
				? fill(words.steady.short, seconds)
				: held.parameters === undefined
					? fill(words.steady.declared, { ...seconds, pen: penInitial(penOf(state, held.by)) })
					: fill(words.steady.proved, seconds);
	return [
		steady,
		...(missing.length > 0 ? [fill(words.missing, { what: names(missing) })] : []),
		...(differing.length > 0 ? [fill(words.differing, { what: names(differing) })] : []),
		...(notMet.length > 0 ? [fill(words.notMet, { what: names(notMet) })] : []),
		...(problem === null ? [] : [problemWords(problem, rule)]),
	];
}

function nameOf(rule: HoldData, fieldId: string, subject: string): string {
	const quantity = subject.slice(fieldId.length + 1);
	const parameter = rule.parameters.find(({ id }) => id === quantity);
	return parameter?.name ?? rule.confirmed.find((one) => one.quantity === quantity)?.name ?? quantity;
}

function problemWords(problem: NonNullable<HoldStanding['problem']>, rule: HoldData): string {
	if (problem.code !== 'outside-chart') return fill(words.cannot, { reason: problem.code });
	const { axis, atLeast: low, atMost: high } = problem.needed;
	const parameter = rule.parameters.find(({ id }) => id === axis);
	const digits = digitsOf(parameter?.resolution ?? 1);
	const text = (value: number) => `${numberText(value, { digits })} ${parameter?.unit ?? ''}`.trim();
	return fill(words.outside, {
		what: parameter?.name ?? axis,
		found: text(problem.found),
		low: numberText(low, { digits }),
		high: text(high),
	});
}

function chartSheet(
	margin: Margin,
	governs: boolean,
	rule: HoldData,
	typeData: TypeData,
	trends: readonly ChartTrend[],
): ChartSheet {
	const parameter = rule.parameters.find(({ id }) => id === margin.result);
	const unit = margin.unit ?? parameter?.unit ?? '';
	const digits = digitsOf(parameter?.resolution ?? 1);
	const text = (value: number, signed = false) => `${numberText(value, { digits, signed })} ${unit}`;
	const chart = chartOf(typeData, margin.result);
	if (chart === undefined) throw new Error(`a margin without its chart: ${margin.result}`);
	const name = (id: string) => rule.parameters.find((one) => one.id === id)?.name ?? id;
	const trend = trends.find(({ result }) => result === margin.result);
	return {
		id: margin.result,
		name: name(margin.result),
		governs,
		chart: chartData(chart, margin, rule),
		margin: fill(words.margin, { margin: text(margin.margin, true) }),
		torque:
			margin.torque.marginPct === null
				? words.noTorque
				: fill(words.torque, { margin: `${numberText(margin.torque.marginPct, { digits: 1, signed: true })} %` }),
		limit: fill(words.limit, { limit: text(margin.limit), observed: text(margin.observed) }),
		state: stateOf(margin),
		sureness: fill(words.chance, { chance: chanceText(margin.chancePositive) }),
		notes: [
			...(margin.tooGood === true ? [words.tooGood] : []),
			...(margin.dominant === null
				? []
				: [fill(words.dominant, { what: name(margin.dominant === 'observed' ? margin.result : margin.dominant) })]),
		],
		reference: margin.reference ?? '',
		trend: trend === undefined ? null : marginTrend(trend, unit, digits),
	};
}

/** The verdict follows the number; how sure it is decides only whether it is called close. */
function stateOf({ side, verdict }: Margin): ChartSheet['state'] {
	if (side === 'inside') return verdict === 'meets' ? 'inside' : 'near-inside';
	return verdict === 'does-not-meet' ? 'outside' : 'near-outside';
}
