import { type Trend, type TrendProblem, trendOf } from '@stillmast/core/power';
import type { Result } from '@stillmast/core/result';
import type { CardFieldOf } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '../fold/state.js';
import { holdStanding } from './hold-standing.js';

/** Subject of the reading that says how many hours the engine had run. */
export const engineHoursSubject = 'engineHours';

/** One margin of one chart in one flight. */
export interface MarginPoint {
	readonly flight: number;
	readonly engineH: number;
	readonly margin: number;
	readonly marginSd: number;
}

/** Margins of one chart over engine hours, and what they say together. */
export interface ChartTrend {
	/** Id of the chart's result. */
	readonly result: string;
	readonly points: readonly MarginPoint[];
	readonly trend: Result<Trend, TrendProblem>;
}

/**
 * Margins of a hold over the flights of a record, chart by chart: of each flight whose hold counts and whose engine
 * hours are written and agreed. @rule JDG-16
 */
export function powerTrends(state: RecordState, typeData: TypeData, field: CardFieldOf<'hold'>): readonly ChartTrend[] {
	const found = state.flights.flatMap(({ flight }) => {
		const standing = holdStanding(state, typeData, field, flight);
		const hours = state.readings.findLast((one) => one.flight === flight && one.subject === engineHoursSubject);
		const engineH = hours?.holds?.value;
		if (standing.verdict === null || standing.margins === null || typeof engineH !== 'number') return [];
		return standing.margins.charts.map(({ result, margin, marginSd }) => ({
			result,
			point: { flight, engineH, margin, marginSd },
		}));
	});
	return [...new Set(found.map(({ result }) => result))].map((result) => {
		const points = found.filter((one) => one.result === result).map(({ point }) => point);
		return { result, points, trend: trendOf(points) };
	});
}
