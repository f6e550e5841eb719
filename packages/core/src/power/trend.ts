import { fail, ok, type Problem, type Result } from '../result/index.js';
import { type MannKendall, mannKendall, type TheilSen, theilSen } from './theil-sen.js';

/** One margin of one engine, same chart, method and configuration throughout. */
export interface TrendPoint {
	/** Engine hours, ascending. */
	readonly engineH: number;
	readonly margin: number;
}

export interface Trend {
	readonly points: number;
	/** Margin gained or lost per hour, with its 95 % interval. */
	readonly slope: TheilSen;
	readonly test: MannKendall;
	/** Whether the interval of the slope leaves zero out. */
	readonly proved: boolean;
	/** Engine hours from the newest point to a margin of zero, as the line falls and as early as its interval allows. */
	readonly hoursToZero: { readonly likely: number; readonly earliest: number } | null;
	/** Why no hours are shown. */
	readonly notShown: 'too-few-points' | 'slope-may-be-zero' | 'rising' | 'already-below-zero' | null;
}

export interface TrendProblem extends Problem {
	readonly code: 'too-few-points' | 'hours-not-ascending' | 'not-a-number';
}

/** Fewer points say nothing of a remaining life. */
const pointsNeeded = 6;

/**
 * Trend of margins over engine hours. Hours to zero are shown only from six points on and when the slope's interval
 * leaves zero out. Problems: `too-few-points` under 3, `hours-not-ascending`, `not-a-number`.
 * @rule PWR-10
 * @rule PWR-11
 */
export function trendOf(points: readonly TrendPoint[]): Result<Trend, TrendProblem> {
	const bad = points.findIndex(({ engineH, margin }) => !(Number.isFinite(engineH) && Number.isFinite(margin)));
	if (bad >= 0) return fail({ code: 'not-a-number', needed: 'hours and margin', path: `$[${bad}]` });
	const back = points.findIndex(({ engineH }, at) => at > 0 && engineH <= (points[at - 1]?.engineH ?? engineH));
	if (back >= 0) {
		return fail({
			code: 'hours-not-ascending',
			found: points[back]?.engineH,
			needed: 'rising hours',
			path: `$[${back}]`,
		});
	}
	if (points.length < 3) return fail({ code: 'too-few-points', found: points.length, needed: 3 });
	const hours = points.map(({ engineH }) => engineH);
	const margins = points.map(({ margin }) => margin);
	const slope = theilSen(hours, margins);
	const proved = slope.low95 > 0 || slope.high95 < 0;
	const shown = hoursToZero(hours.at(-1) ?? 0, slope, points.length, proved);
	return ok({ points: points.length, slope, test: mannKendall(margins), proved, ...shown });
}

function hoursToZero(
	nowH: number,
	{ slope, intercept, low95, medianX, medianY }: TheilSen,
	count: number,
	proved: boolean,
): Pick<Trend, 'hoursToZero' | 'notShown'> {
	const nothing = (notShown: Trend['notShown']) => ({ hoursToZero: null, notShown });
	if (count < pointsNeeded) return nothing('too-few-points');
	if (!proved) return nothing('slope-may-be-zero');
	if (slope >= 0) return nothing('rising');
	const likely = -intercept / slope - nowH;
	if (likely <= 0) return nothing('already-below-zero');
	// The steepest line of the interval turns about the middle of the points.
	const earliest = Math.max(0, Math.min(likely, medianX - medianY / low95 - nowH));
	return { hoursToZero: { likely, earliest }, notShown: null };
}
