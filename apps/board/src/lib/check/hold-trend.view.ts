import type { Trend } from '@stillmast/core/power';
import type { ChartTrend } from '@stillmast/record/judge';
import type { Axis } from '$lib/parts/plot/axis.js';
import type { TrendData } from '$lib/parts/trend/trend.view.js';
import { fill } from '$lib/words/fill.js';
import { judged as words } from '$lib/words/judged.js';
import { numberText } from '$lib/words/number.js';

/** Margins of one chart over engine hours, in words and as a drawing. */
export interface MarginTrend {
	readonly sentences: readonly string[];
	readonly drawing: TrendData;
}

/** Half of a range that holds 95 % of a normal scatter, in standard deviations. */
const half95 = 1.96;
/** The slope is told over so many hours. */
const perHours = 100;

/**
 * `null` while there are too few points for a slope.
 * @param digits of a margin; a slope has one more
 */
export function marginTrend({ points, trend }: ChartTrend, unit: string, digits: number): MarginTrend | null {
	if (!trend.ok) return null;
	const found = trend.value;
	const last = points.at(-1)?.engineH ?? 0;
	const first = points[0]?.engineH ?? 0;
	const untilH = last + Math.min(found.hoursToZero?.likely ?? 0, 2 * (last - first)) + (last - first) / 4;
	const ahead = [last, (last + untilH) / 2, untilH].map((atHours) => expected(found, atHours));
	const drawn = points.map(({ engineH, margin, marginSd }) => ({
		atHours: engineH,
		value: margin,
		low95: margin - half95 * marginSd,
		high95: margin + half95 * marginSd,
	}));
	const all = [...drawn, ...ahead].flatMap(({ low95, high95 }) => [low95, high95]);
	return {
		sentences: [slopeWords(found, unit, digits + 1), hoursWords(found)],
		drawing: {
			hours: { label: words.engineHours, unit: 'h', low: first, high: untilH, digits: 0 },
			margin: marginAxis(all, unit, digits),
			points: drawn,
			ahead,
			wallAt: 0,
			forbidden: 'below',
		},
	};
}

/** On the line, and between the steepest and the flattest that the slope's interval leaves, about the middle of the points. */
function expected({ slope }: Trend, atHours: number) {
	const turned = [slope.low95, slope.high95].map((one) => slope.medianY + one * (atHours - slope.medianX));
	const value = slope.intercept + slope.slope * atHours;
	return { atHours, value, low95: Math.min(value, ...turned), high95: Math.max(value, ...turned) };
}

function marginAxis(values: readonly number[], unit: string, digits: number): Axis {
	const low = Math.min(0, ...values);
	const high = Math.max(0, ...values);
	const room = (high - low) / 20;
	return { label: words.marginAxis, unit, low: low - room, high: high + room, digits, isSigned: true };
}

function slopeWords({ slope }: Trend, unit: string, digits: number): string {
	const text = (value: number) => numberText(perHours * value, { digits, signed: true });
	return fill(words.trendSlope, {
		slope: `${text(slope.slope)} ${unit}`,
		low: text(slope.low95),
		high: text(slope.high95),
		hours: String(perHours),
	});
}

function hoursWords({ hoursToZero, notShown }: Trend): string {
	if (hoursToZero === null) return words.trendNoHours[notShown ?? 'slope-may-be-zero'];
	const text = (value: number) => numberText(value, { digits: 0 });
	return fill(words.trendHours, { likely: text(hoursToZero.likely), earliest: text(hoursToZero.earliest) });
}
