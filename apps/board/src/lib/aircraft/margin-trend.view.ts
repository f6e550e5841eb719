import { type TrendPoint as CorePoint, type Margin, type Trend, trendOf } from '@stillmast/core/power';
import { chartOf } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { engineHoursSubject, holdStanding } from '@stillmast/record/judge';
import { digitsOf } from '$lib/check/ask.js';
import { fieldsOf, newestFlightOf } from '$lib/check/card-fields.view.js';
import type { TrendData, TrendPoint } from '$lib/parts/trend/trend.view.js';
import { aircraft as words } from '$lib/words/aircraft.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import type { CheckHere } from './aircraft.view.js';

/** Margins of one power chart over the engine hours of an aircraft's checks. */
export interface MarginTrend {
	readonly id: string;
	readonly title: string;
	/** Null while there are fewer than two margins with their hours. */
	readonly trend: TrendData | null;
	readonly sentences: readonly string[];
}

interface Found {
	readonly result: string;
	readonly name: string;
	readonly digits: number;
	readonly unit: string;
	/** Margins of different charts are not one trend. */
	readonly chart: string;
	/** Null where nobody wrote the engine hours of the check. */
	readonly engineH: number | null;
	readonly margin: Margin;
}

/** Half the width of a 95 % range, in sd (normal distribution). */
const sdOf95 = 1.96;
/** Hours over which a slope is told: people count engine life in hundreds. */
const perHours = 100;

/** One for each chart that an aircraft's checks were judged by, newest chart first; only margins that count. */
export function marginTrends(checks: readonly CheckHere[]): MarginTrend[] {
	const found = checks.flatMap(marginsOf);
	const charts = [...new Set(found.map(({ chart }) => chart))];
	return charts.map((chart) =>
		trendOfChart(
			chart,
			found.filter((one) => one.chart === chart),
		),
	);
}

function marginsOf({ state, card, typeData }: CheckHere): Found[] {
	return fieldsOf(card, 'hold').flatMap((field): Found[] => {
		const flight = newestFlightOf(state, field.id);
		if (flight === null) return [];
		const { rule, margins, verdict } = holdStanding(state, typeData, field, flight);
		if (rule === null || margins === null || verdict === null) return [];
		return margins.charts.map((margin) => {
			const parameter = rule.parameters.find(({ id }) => id === margin.result);
			return {
				result: margin.result,
				name: parameter?.name ?? margin.result,
				digits: digitsOf(parameter?.resolution ?? 1),
				unit: margin.unit ?? parameter?.unit ?? '',
				chart: JSON.stringify(chartOf(typeData, margin.result) ?? margin.result),
				engineH: engineHoursOf(state, flight),
				margin,
			};
		});
	});
}

/** As read for the flight, else as the header of the check has it; null while two readings differ or nobody wrote any. */
function engineHoursOf(state: RecordState, flight: number): number | null {
	const read = state.readings.findLast((one) => one.flight === flight && one.subject === engineHoursSubject);
	const value = (read ?? state.header.get(engineHoursSubject))?.holds?.value;
	return typeof value === 'number' ? value : null;
}

/** @param found newest check first */
function trendOfChart(id: string, found: readonly Found[]): MarginTrend {
	const [newest] = found as [Found];
	const points = pointsOf(found);
	const without = found.filter(({ engineH }) => engineH === null).length;
	const core = trendOf(points.map(({ atHours, value }): CorePoint => ({ engineH: atHours, margin: value })));
	const trend = core.ok ? core.value : null;
	return {
		id,
		title: fill(words.marginOf, { name: newest.name }),
		trend: points.length < 2 ? null : dataOf(newest, points, trend),
		sentences: [
			...sentencesOf(newest, points.length, trend),
			...(without === 0 ? [] : [fill(words.marginNoHours, { count: String(without) })]),
		],
	};
}

/** In order of hours; of several at one number of hours the newest check's. */
function pointsOf(found: readonly Found[]): TrendPoint[] {
	const byHours = new Map<number, TrendPoint>();
	for (const { engineH, margin } of found) {
		if (engineH === null || byHours.has(engineH)) continue;
		const half = sdOf95 * margin.marginSd;
		const value = margin.margin;
		byHours.set(engineH, { atHours: engineH, value, low95: value - half, high95: value + half });
	}
	return [...byHours.values()].sort((a, b) => a.atHours - b.atHours);
}

function dataOf({ unit, digits }: Found, points: readonly TrendPoint[], trend: Trend | null): TrendData {
	const ahead = aheadOf(points, trend);
	const all = [...points, ...ahead];
	const hours = all.map(({ atHours }) => atHours);
	const low = Math.min(0, ...all.map(({ low95 }) => low95));
	const high = Math.max(0, ...all.map(({ high95 }) => high95));
	const room = 0.1 * (high - low || 1);
	const hoursRoom = 0.05 * (Math.max(...hours) - Math.min(...hours) || 1);
	return {
		hours: {
			label: words.engineHours,
			unit: 'h',
			low: Math.min(...hours) - hoursRoom,
			high: Math.max(...hours) + hoursRoom,
			digits: 0,
		},
		margin: { label: words.margin, unit, low: low - room, high: high + room, digits, isSigned: true },
		points,
		ahead,
		wallAt: 0,
		forbidden: 'below',
	};
}

/** As far ahead again as half of what is known, and only where a slope is proved. */
function aheadOf(points: readonly TrendPoint[], trend: Trend | null): TrendPoint[] {
	const [first, last] = [points[0], points.at(-1)];
	if (trend === null || !trend.proved || first === undefined || last === undefined) return [];
	const { slope, intercept, low95, high95, medianX, medianY } = trend.slope;
	const span = (last.atHours - first.atHours) / 2;
	return [0, 0.5, 1].map((share) => {
		const atHours = last.atHours + share * span;
		const from = atHours - medianX;
		return {
			atHours,
			value: intercept + slope * atHours,
			low95: medianY + low95 * from,
			high95: medianY + high95 * from,
		};
	});
}

function sentencesOf({ unit, digits }: Found, count: number, trend: Trend | null): string[] {
	if (trend === null) return [fill(words.marginFew, { count: String(count) })];
	const { slope, low95, high95 } = trend.slope;
	if (!trend.proved) return [words.marginSteady];
	const per = (value: number) => numberText(value * perHours, { digits: digits + 1, signed: true });
	const change = fill(words.marginSlope, {
		change: `${per(slope)} ${unit}`,
		hours: String(perHours),
		low: per(low95),
		high: `${per(high95)} ${unit}`,
	});
	if (trend.hoursToZero === null) return [change];
	const { likely, earliest } = trend.hoursToZero;
	const hours = (value: number) => numberText(value, { digits: 0 });
	return [change, fill(words.marginZero, { likely: hours(likely), earliest: hours(earliest) })];
}
