import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { type Axis, axisTicks } from '../plot/axis.js';
import type { PenName } from '../written/pen.js';

/** A piece of the axis, in its unit. */
export interface Stretch {
	readonly from: number;
	readonly to: number;
}

/** What one witness, instrument or trace says about a limit passed: at least this, at most that. */
export interface TimeBarRow {
	readonly id: string;
	readonly label: string;
	readonly source: 'witness' | 'memory' | 'trace' | 'agreed';
	readonly pen: PenName | null;
	/** Surely so along this; null when nothing is sure. */
	readonly atLeast: Stretch | null;
	/** Not outside this; null when nothing bounds it. */
	readonly atMost: Stretch | null;
	/** "2.0 to 4.5 s", or what stands there instead of a bar. */
	readonly words: string;
}

/** What the axis counts, and the wall on it: the longest time, or the highest value, that is allowed. */
export interface BarAxis {
	readonly unit: string;
	readonly wallAt: number | null;
	/** Side of the wall that may not be entered. */
	readonly forbidden: 'left' | 'right';
	/** Where bars begin: 0 for times; null = just outside what is drawn. */
	readonly zero: number | null;
}

interface Piece {
	readonly fromPct: number;
	readonly widthPct: number;
}

export interface TimeBarLine {
	readonly id: string;
	readonly label: string;
	readonly source: TimeBarRow['source'];
	readonly pen: PenName | null;
	/** Solid: on the allowed side, and past the wall. */
	readonly core: readonly Piece[];
	readonly past: readonly Piece[];
	readonly outer: Piece | null;
	/** Nothing bounds the most: the bar runs to the edge and has no end there. */
	readonly isOpen: boolean;
	readonly words: string;
}

export interface TimeBarsDrawing {
	readonly lines: readonly TimeBarLine[];
	readonly ticks: readonly { readonly atPct: number; readonly text: string }[];
	readonly wallPct: number | null;
}

const timeAxis: BarAxis = { unit: 's', wallAt: null, forbidden: 'right', zero: null };

/** Rows on one axis that holds them all with a little air. */
export function timeBarsDrawing(rows: readonly TimeBarRow[], axis: BarAxis = timeAxis): TimeBarsDrawing {
	const places = [
		...rows.flatMap(({ atLeast, atMost }) =>
			[atLeast, atMost].flatMap((one) => (one === null ? [] : [one.from, one.to])),
		),
		...(axis.wallAt === null ? [] : [axis.wallAt]),
		...(axis.zero === null ? [] : [axis.zero]),
	];
	if (places.length === 0)
		return { lines: rows.map((row) => lineOf(row, () => 0, axis, 0, 0)), ticks: [], wallPct: null };
	const [first, last] = [Math.min(...places), Math.max(...places)];
	const air = Math.max(0.25, (last - first) * 0.12);
	const low = axis.zero === 0 && first >= 0 ? 0 : first - air;
	const high = last + air;
	const pct = (value: number) => ((value - low) / (high - low)) * 100;
	const drawn: Axis = { label: '', unit: axis.unit, low, high, digits: high - low < 6 ? 1 : 0 };
	return {
		lines: rows.map((row) => lineOf(row, pct, axis, low, high)),
		ticks: axisTicks(drawn, 6).map((tick) => ({ atPct: pct(tick.value), text: tick.text })),
		wallPct: axis.wallAt === null ? null : pct(axis.wallAt),
	};
}

function lineOf(
	row: TimeBarRow,
	pct: (value: number) => number,
	axis: BarAxis,
	low: number,
	high: number,
): TimeBarLine {
	const piece = ({ from, to }: Stretch): Piece => ({ fromPct: pct(from), widthPct: pct(to) - pct(from) });
	const { atLeast } = row;
	const open: Stretch =
		axis.forbidden === 'right' ? { from: atLeast?.from ?? low, to: high } : { from: low, to: atLeast?.to ?? high };
	const isSaid = row.atLeast !== null || row.atMost !== null;
	const { allowed, beyond } = split(atLeast, axis);
	return {
		id: row.id,
		label: row.label,
		source: row.source,
		pen: row.pen,
		core: allowed.map(piece),
		past: beyond.map(piece),
		outer: isSaid ? piece(row.atMost ?? open) : null,
		isOpen: isSaid && row.atMost === null,
		words: row.words,
	};
}

/** A stretch cut at the wall. */
function split(stretch: Stretch | null, { wallAt, forbidden }: BarAxis) {
	if (stretch === null) return { allowed: [], beyond: [] };
	if (wallAt === null) return { allowed: [stretch], beyond: [] };
	const left = { from: stretch.from, to: Math.min(stretch.to, wallAt) };
	const right = { from: Math.max(stretch.from, wallAt), to: stretch.to };
	const drawn = (one: Stretch) => (one.to > one.from ? [one] : []);
	return forbidden === 'right'
		? { allowed: drawn(left), beyond: drawn(right) }
		: { allowed: drawn(right), beyond: drawn(left) };
}

/** "2.0 to 4.5 s", "at least 2.0 s", "at most 4.5 s"; null when neither is said. */
export function rangeText(least: number | null, most: number | null, unit: string, digits = 1): string | null {
	const text = (value: number) => numberText(value, { digits });
	if (least !== null && most !== null) {
		return `${fill(english.limitsPassed.between, { low: text(least), high: text(most) })} ${unit}`;
	}
	if (least !== null) return `${english.limitsPassed.atLeast} ${text(least)} ${unit}`;
	return most === null ? null : `${english.limitsPassed.atMost} ${text(most)} ${unit}`;
}
