import { type Axis, axisTicks } from './axis.js';

/** A place in drawing units, y downwards. */
export interface Spot {
	readonly x: number;
	readonly y: number;
}

/** Where the axes stand in the drawing, in drawing units. */
export interface PlotBox {
	readonly left: number;
	readonly top: number;
	readonly width: number;
	readonly height: number;
}

export interface GridLine {
	readonly at: number;
	readonly text: string;
}

/** A drawing's grid and the two rulers that place values on it. */
export interface Plot {
	readonly box: PlotBox;
	readonly columns: readonly GridLine[];
	readonly rows: readonly GridLine[];
	readonly acrossTitle: string;
	readonly upTitle: string;
	/** Drawing units of a value along either axis; not clipped. */
	readonly across: (value: number) => number;
	readonly up: (value: number) => number;
}

/** Lays two axes into a box. */
export function plotOf(x: Axis, y: Axis, box: PlotBox, most = { columns: 6, rows: 5 }): Plot {
	const across = (value: number) => box.left + ((value - x.low) / (x.high - x.low)) * box.width;
	const up = (value: number) => box.top + box.height - ((value - y.low) / (y.high - y.low)) * box.height;
	return {
		box,
		across,
		up,
		columns: axisTicks(x, most.columns).map((tick) => ({ at: across(tick.value), text: tick.text })),
		rows: axisTicks(y, most.rows).map((tick) => ({ at: up(tick.value), text: tick.text })),
		acrossTitle: axisTitle(x),
		upTitle: axisTitle(y),
	};
}

function axisTitle(axis: Axis): string {
	return axis.label === '' ? axis.unit : `${axis.label}, ${axis.unit}`;
}

/** Path through spots. */
export function pathThrough(spots: readonly Spot[]): string {
	return spots.length === 0 ? '' : `M${spots.map((spot) => `${tenth(spot.x)} ${tenth(spot.y)}`).join(' L')}`;
}

/** Closed path around spots. */
export function pathAround(spots: readonly Spot[]): string {
	return spots.length === 0 ? '' : `${pathThrough(spots)} Z`;
}

const strokeSpacing = 8;
const strokeReach = 6.5;

/**
 * The slanted strokes of a wall that follows a line, on its forbidden side.
 * @param spots the wall's face, left to right
 */
export function wallStrokesAlong(spots: readonly Spot[], forbidden: 'above' | 'below'): string {
	const lean = forbidden === 'above' ? -strokeReach : strokeReach;
	return spotsEvery(spots, strokeSpacing)
		.map((spot) => `M${tenth(spot.x)} ${tenth(spot.y)} L${tenth(spot.x + strokeReach)} ${tenth(spot.y + lean)}`)
		.join(' ');
}

/** Spots at equal distances along a line. */
function spotsEvery(spots: readonly Spot[], spacing: number): readonly Spot[] {
	const found: Spot[] = [];
	let carried = spacing / 2;
	spots.slice(1).forEach((to, index) => {
		const from = spots[index] ?? to;
		const length = Math.hypot(to.x - from.x, to.y - from.y);
		for (; carried < length; carried += spacing) {
			const share = carried / length;
			found.push({ x: from.x + (to.x - from.x) * share, y: from.y + (to.y - from.y) * share });
		}
		carried -= length;
	});
	return found;
}

function tenth(length: number): number {
	return Math.round(length * 10) / 10 + 0;
}
