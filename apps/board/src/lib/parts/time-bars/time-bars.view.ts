import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { axisTicks } from '../plot/axis.js';
import type { PenName } from '../written/pen.js';

/** A stretch of time, seconds from the axis' zero. */
export interface Stretch {
	readonly fromS: number;
	readonly toS: number;
}

/** What one witness or trace says about a limit passed: at least this, at most that. */
export interface TimeBarRow {
	readonly id: string;
	readonly label: string;
	readonly source: 'witness' | 'trace' | 'agreed';
	readonly pen: PenName | null;
	/** Surely beyond the limit during this; null when nothing is sure. */
	readonly atLeast: Stretch | null;
	/** Not beyond the limit outside this. */
	readonly atMost: Stretch;
}

export interface TimeBarLine {
	readonly id: string;
	readonly label: string;
	readonly source: TimeBarRow['source'];
	readonly pen: PenName | null;
	readonly core: { readonly fromPct: number; readonly widthPct: number } | null;
	readonly outer: { readonly fromPct: number; readonly widthPct: number };
	/** "3.0 to 5.5 s". */
	readonly words: string;
}

export interface TimeBarsDrawing {
	readonly lines: readonly TimeBarLine[];
	readonly ticks: readonly { readonly atPct: number; readonly text: string }[];
}

/** Rows on one axis that holds them all with a little air. */
export function timeBarsDrawing(rows: readonly TimeBarRow[]): TimeBarsDrawing {
	if (rows.length === 0) return { lines: [], ticks: [] };
	const firstS = Math.min(...rows.map((row) => row.atMost.fromS));
	const lastS = Math.max(...rows.map((row) => row.atMost.toS));
	const airS = Math.max(0.25, (lastS - firstS) * 0.08);
	const lowS = firstS - airS;
	const lengthS = lastS + airS - lowS;
	const pct = (s: number) => ((s - lowS) / lengthS) * 100;
	const piece = (stretch: Stretch) => ({
		fromPct: pct(stretch.fromS),
		widthPct: pct(stretch.toS) - pct(stretch.fromS),
	});
	const axis = { label: '', unit: 's', low: lowS, high: lowS + lengthS, digits: lengthS < 4 ? 1 : 0 };
	return {
		lines: rows.map((row) => ({
			id: row.id,
			label: row.label,
			source: row.source,
			pen: row.pen,
			core: row.atLeast === null ? null : piece(row.atLeast),
			outer: piece(row.atMost),
			words: lengthWords(row),
		})),
		ticks: axisTicks(axis, 7).map((tick) => ({ atPct: pct(tick.value), text: tick.text })),
	};
}

function lengthWords(row: TimeBarRow): string {
	const seconds = (length: number) => numberText(length, { digits: 1 });
	return fill(english.limitsPassed.between, {
		low: seconds(row.atLeast === null ? 0 : row.atLeast.toS - row.atLeast.fromS),
		high: seconds(row.atMost.toS - row.atMost.fromS),
	});
}
