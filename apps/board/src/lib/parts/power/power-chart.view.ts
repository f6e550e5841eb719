import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import type { ListRow } from '../list/list-row.js';
import type { Axis } from '../plot/axis.js';
import { type Plot, pathThrough, plotOf, type Spot, wallStrokesAlong } from '../plot/plot.view.js';

/** A value pair on the chart, in the axes' units. */
export interface ChartPoint {
	readonly x: number;
	readonly y: number;
}

/** One curve of the printed family, as typed from the page. */
export interface ChartCurve {
	readonly label: string;
	readonly points: readonly ChartPoint[];
}

/** A chart as printed, and a reading traced through it. */
export interface PowerChartData {
	readonly x: Axis;
	readonly y: Axis;
	readonly family: readonly ChartCurve[];
	/** The limit line through the reading's own conditions, and the side that is not allowed. */
	readonly limit: { readonly points: readonly ChartPoint[]; readonly forbidden: 'above' | 'below' };
	/** As a finger would trace it: up, across, down. */
	readonly trace: readonly ChartPoint[];
	readonly reading: { readonly point: ChartPoint; readonly low95: number; readonly high95: number } | null;
}

export interface PowerChartDrawing {
	readonly width: number;
	readonly height: number;
	readonly plot: Plot;
	readonly curves: readonly { readonly label: string; readonly path: string; readonly end: Spot }[];
	readonly wall: string;
	readonly wallStrokes: string;
	readonly trace: string;
	readonly arrow: string;
	readonly reading: { readonly cross: string; readonly range: string } | null;
}

const box = { left: 58, top: 34, width: 420, height: 300 } as const;

/** The paper grid with curves, wall, trace and reading. */
export function powerChartDrawing(chart: PowerChartData): PowerChartDrawing {
	const plot = plotOf(chart.x, chart.y, box, { columns: 8, rows: 7 });
	const spot = (point: ChartPoint): Spot => ({ x: plot.across(point.x), y: plot.up(point.y) });
	const face = chart.limit.points.map(spot);
	const trace = chart.trace.map(spot);
	return {
		width: box.left + box.width + 84,
		height: box.top + box.height + 56,
		plot,
		curves: chart.family.map((curve) => {
			const spots = curve.points.map(spot);
			return { label: curve.label, path: pathThrough(spots), end: spots.at(-1) ?? { x: box.left, y: box.top } };
		}),
		wall: pathThrough(face),
		wallStrokes: wallStrokesAlong(face, chart.limit.forbidden),
		trace: pathThrough(trace),
		arrow: arrowAtEnd(trace),
		reading:
			chart.reading === null
				? null
				: readingOf(spot(chart.reading.point), plot.up(chart.reading.low95), plot.up(chart.reading.high95)),
	};
}

function readingOf(at: Spot, lowY: number, highY: number) {
	return {
		cross: `M${at.x - 7} ${at.y} H${at.x + 7} M${at.x} ${at.y - 7} V${at.y + 7}`,
		range: `M${at.x} ${lowY} V${highY}`,
	};
}

function arrowAtEnd(spots: readonly Spot[]): string {
	const end = spots.at(-1);
	const before = spots.at(-2);
	if (end === undefined || before === undefined) return '';
	const length = Math.hypot(end.x - before.x, end.y - before.y);
	if (length === 0) return '';
	const along = { x: ((end.x - before.x) / length) * 8, y: ((end.y - before.y) / length) * 8 };
	const left = { x: end.x - along.x - along.y * 0.6, y: end.y - along.y + along.x * 0.6 };
	const right = { x: end.x - along.x + along.y * 0.6, y: end.y - along.y - along.x * 0.6 };
	return pathThrough([left, end, right]);
}

/** The chart told as a list: the answer, and the reading with its range. */
export function powerList(answer: string, chart: PowerChartData): readonly ListRow[] {
	const value = (number: number) => numberText(number, { digits: chart.y.digits, signed: chart.y.isSigned ?? false });
	return [
		{ what: english.power.answer, words: answer },
		...(chart.reading === null
			? []
			: [
					{
						what: english.power.readingWord,
						words: fill(english.power.range, {
							value: `${value(chart.reading.point.y)} ${chart.y.unit}`,
							low: value(chart.reading.low95),
							high: `${value(chart.reading.high95)} ${chart.y.unit}`,
						}),
					},
				]),
	];
}
