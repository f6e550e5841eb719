import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { type CutNumber, cutAtMark, digitsKeepingSide, numberText } from '$lib/words/number.js';
import type { PenName } from '../written/pen.js';
import { type LaneDrawing, type LaneReading, type LaneState, type Limit, laneDrawing } from './lane.view.js';

/** One line of a wall: what was measured, where the wall is, and what the core says. */
export interface WallRow {
	readonly id: string;
	/** What and where: "hover lateral", "torque, above 40 kt". */
	readonly label: string;
	readonly unit: string;
	readonly digits: number;
	/** Decimals of the limit itself, where it needs more than a reading. */
	readonly limitDigits?: number | undefined;
	readonly isSigned?: boolean | undefined;
	readonly limit: Limit;
	readonly goal: number | null;
	readonly reading: LaneReading;
	/** How sure that is, in a sentence of its own. */
	readonly sureness?: string | undefined;
	/** The one line whose condition holds at this moment, by a fresh feed. */
	readonly isNow?: boolean | undefined;
}

/** A number in its column. `pen` is set when two pens disagree. */
export interface WallNumber {
	readonly cut: CutNumber;
	readonly pen: PenName | null;
	/** "98 to 103": stands as it is, outside the column's alignment. */
	readonly isRange: boolean;
}

export interface WallLine {
	readonly id: string;
	readonly label: string;
	readonly isNow: boolean;
	readonly unit: string;
	readonly numbers: readonly WallNumber[];
	readonly state: LaneState;
	readonly word: string;
	readonly sureness: string | null;
	/** The limit in words, for ears and for the list. */
	readonly limitWords: string;
	readonly lane: LaneDrawing;
}

/** A stretch of neighbouring lines that share one upper wall. Rows count from 1. */
export interface WallRun {
	readonly firstRow: number;
	readonly rowCount: number;
}

export interface WallDrawing {
	readonly lines: readonly WallLine[];
	readonly runs: readonly WallRun[];
	/** Widest whole part and fraction in the number column, in signs. */
	readonly wholeSigns: number;
	readonly fractionSigns: number;
}

const notMeasured = '\u2013\u2013';

/** Which numbers stand in the column: what was measured, or the limits themselves. */
export type NumbersShown = 'reading' | 'limit';

/** Lays rows over each other so that all their walls join into one. */
export function wallDrawing(rows: readonly WallRow[], shown: NumbersShown = 'reading'): WallDrawing {
	const lines = rows.map((row) => (shown === 'limit' ? limitLine(row) : wallLine(row)));
	const cuts = lines.flatMap((line) => line.numbers.filter((number) => !number.isRange).map((number) => number.cut));
	return {
		lines,
		runs: runsOf(lines),
		wholeSigns: Math.max(1, ...cuts.map((cut) => cut.whole.length)),
		fractionSigns: Math.max(0, ...cuts.map((cut) => cut.fraction.length)),
	};
}

function wallLine(row: WallRow): WallLine {
	return {
		id: row.id,
		label: row.label,
		isNow: row.isNow ?? false,
		unit: row.unit,
		numbers: numbersOf(row),
		state: row.reading.state,
		word:
			row.reading.state === 'cannot-judge'
				? fill(english.wall.cannotTell, { reason: row.reading.reason })
				: english.verdict[row.reading.state],
		sureness: row.sureness ?? null,
		limitWords: limitWords(row),
		lane: laneDrawing(row.limit, row.goal, row.reading),
	};
}

/** A line that states a limit: its number is the wall's, and nothing is missing when nothing is measured. */
function limitLine(row: WallRow): WallLine {
	const line = wallLine(row);
	const text = (value: number) => rowNumber(row, value, row.limitDigits ?? row.digits);
	const number: WallNumber =
		row.limit.kind === 'band'
			? {
					cut: { whole: rangeWords(text(row.limit.low), text(row.limit.high)), fraction: '' },
					pen: null,
					isRange: true,
				}
			: { cut: cutAtMark(text(row.limit.limit)), pen: null, isRange: false };
	return {
		...line,
		numbers: [number],
		lane: line.lane.form === 'dotted-trough' ? { ...line.lane, form: 'bar' } : line.lane,
	};
}

function rangeWords(low: string, high: string): string {
	return fill(english.wall.between, { low, high });
}

function numbersOf(row: WallRow): readonly WallNumber[] {
	const written = (value: number, pen: PenName | null): WallNumber => ({
		cut: cutAtMark(rowNumber(row, value, digitsKeepingSide(value, wallsOf(row.limit), row.digits))),
		pen,
		isRange: false,
	});
	switch (row.reading.state) {
		case 'cannot-judge':
			return [];
		case 'missing':
			return [{ cut: { whole: notMeasured, fraction: '' }, pen: null, isRange: false }];
		case 'differing':
			return [
				written(row.reading.first.value, row.reading.first.pen),
				written(row.reading.second.value, row.reading.second.pen),
			];
		default:
			return [written(row.reading.value, null)];
	}
}

/** "at most 0.20 ips": the limit of a row in words. */
export function limitWords(row: WallRow): string {
	const digits = row.limitDigits ?? row.digits;
	const text = (value: number) => `${rowNumber(row, value, digits)} ${row.unit}`;
	switch (row.limit.kind) {
		case 'at-most':
			return fill(english.wall.atMost, { limit: text(row.limit.limit) });
		case 'at-least':
			return fill(english.wall.atLeast, { limit: text(row.limit.limit) });
		case 'band':
			return rangeWords(rowNumber(row, row.limit.low, digits), text(row.limit.high));
	}
}

function rowNumber(row: WallRow, value: number, digits: number): string {
	return numberText(value, { digits, signed: row.isSigned ?? false });
}

function wallsOf(limit: Limit): readonly number[] {
	return limit.kind === 'band' ? [limit.low, limit.high] : [limit.limit];
}

function runsOf(lines: readonly WallLine[]): readonly WallRun[] {
	const runs: WallRun[] = [];
	lines.forEach((line, index) => {
		if (line.lane.wallAt === null || line.lane.form === 'none') return;
		const last = runs.at(-1);
		if (last !== undefined && last.firstRow + last.rowCount === index + 1) {
			runs[runs.length - 1] = { ...last, rowCount: last.rowCount + 1 };
		} else {
			runs.push({ firstRow: index + 1, rowCount: 1 });
		}
	});
	return runs;
}
