import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import type { ListRow } from '../list/list-row.js';
import type { Axis } from '../plot/axis.js';
import { type Plot, pathAround, pathThrough, plotOf, type Spot, wallStrokesAlong } from '../plot/plot.view.js';

/** A margin found at some engine hours, with its 95 % range. */
export interface TrendPoint {
	readonly atHours: number;
	readonly value: number;
	readonly low95: number;
	readonly high95: number;
}

/** Margins against engine hours, the range ahead, and the wall they must not fall through. */
export interface TrendData {
	readonly hours: Axis;
	readonly margin: Axis;
	readonly points: readonly TrendPoint[];
	/** What to expect ahead, its range widening with the hours. */
	readonly ahead: readonly TrendPoint[];
	readonly wallAt: number;
	readonly forbidden: 'above' | 'below';
}

export interface TrendDrawing {
	readonly width: number;
	readonly height: number;
	readonly plot: Plot;
	readonly wall: string;
	readonly wallStrokes: string;
	readonly points: readonly { readonly cross: string; readonly range: string }[];
	readonly aheadBand: string;
	readonly aheadMiddle: string;
}

const box = { left: 58, top: 34, width: 480, height: 170 } as const;

/** Points with ranges, the wall, and the widening range ahead. */
export function trendDrawing(trend: TrendData): TrendDrawing {
	const plot = plotOf(trend.hours, trend.margin, box, { columns: 8, rows: 5 });
	const spot = (hours: number, value: number): Spot => ({ x: plot.across(hours), y: plot.up(value) });
	const face = [spot(trend.hours.low, trend.wallAt), spot(trend.hours.high, trend.wallAt)];
	return {
		width: box.left + box.width + 20,
		height: box.top + box.height + 56,
		plot,
		wall: pathThrough(face),
		wallStrokes: wallStrokesAlong(face, trend.forbidden),
		points: trend.points.map((point) => {
			const at = spot(point.atHours, point.value);
			return {
				cross: `M${at.x - 6} ${at.y} H${at.x + 6} M${at.x} ${at.y - 6} V${at.y + 6}`,
				range: `M${at.x} ${plot.up(point.low95)} V${plot.up(point.high95)}`,
			};
		}),
		aheadBand: pathAround([
			...trend.ahead.map((point) => spot(point.atHours, point.high95)),
			...[...trend.ahead].reverse().map((point) => spot(point.atHours, point.low95)),
		]),
		aheadMiddle: pathThrough(trend.ahead.map((point) => spot(point.atHours, point.value))),
	};
}

/** The trend told as a list: what was found, then what is expected. */
export function trendList(trend: TrendData): readonly ListRow[] {
	const number = (value: number) =>
		numberText(value, { digits: trend.margin.digits, signed: trend.margin.isSigned ?? false });
	const row = (template: typeof english.power.atHours | typeof english.power.aheadHours, point: TrendPoint) => ({
		what: fill(template, { hours: `${numberText(point.atHours, { digits: trend.hours.digits })} ${trend.hours.unit}` }),
		words: fill(english.power.range, {
			value: `${number(point.value)} ${trend.margin.unit}`,
			low: number(point.low95),
			high: `${number(point.high95)} ${trend.margin.unit}`,
		}),
	});
	return [
		...trend.points.map((point) => row(english.power.atHours, point)),
		...trend.ahead.map((point) => row(english.power.aheadHours, point)),
	];
}
