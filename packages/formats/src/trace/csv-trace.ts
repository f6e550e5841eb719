import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { readCell } from '../signals/csv-number.js';

export interface TraceFileFault extends Problem {
	readonly code:
		| 'no-header'
		| 'no-time-column'
		| 'duplicate-column'
		| 'empty-column'
		| 'row-length'
		| 'not-a-time'
		| 'line-too-long'
		| 'not-utf8';
	/** The line of the file, counted from 1. */
	readonly path: string;
}

/** One row: seconds, and a cell per further column; NaN is an empty cell, text a state. */
export type TraceRow = (timeS: number, cells: readonly (number | string)[], line: number) => Result<null, Problem>;

/** A line this long is no row: the file is something else. */
const longestLine = 1 << 20;
const newline = 10;
const carriageReturn = 13;
const comma = 44;
const point = 46;
const byteOrderMark = '\ufeff';

/**
 * Reads a trace that arrives in pieces of any size: header row, first column `timeS`, further columns parameter ids,
 * comma and decimal point. What it holds is one piece and one line. Rows go to the taker as they come, in one array that
 * is used again for the next row.
 */
export class TraceReader {
	readonly #onColumns: (columns: readonly string[]) => TraceRow;
	readonly #decoder = new TextDecoder('utf-8', { fatal: true });
	#onRow: TraceRow | null = null;
	#cells: (number | string)[] = [];
	/** States that were seen, so that a column of words makes no new text in every row. */
	readonly #states = new Map<string, string>();
	#rest = new Uint8Array(0);
	#line = 0;

	/** @param onColumns is told the ids once and answers with the taker of rows; its first problem ends the reading */
	constructor(onColumns: (columns: readonly string[]) => TraceRow) {
		this.#onColumns = onColumns;
	}

	push(bytes: Uint8Array): Result<null, Problem> {
		const all = this.#rest.length === 0 ? bytes : joined(this.#rest, bytes);
		const end = all.lastIndexOf(newline) + 1;
		const read = this.#readLines(all, end);
		if (!read.ok) return read;
		this.#rest = all.slice(end);
		return this.#rest.length > longestLine ? this.#tooLong(this.#line + 1) : ok(null);
	}

	/** Takes the last line, which may lack its end. */
	finish(): Result<null, Problem> {
		const last = joined(this.#rest, Uint8Array.of(newline));
		this.#rest = new Uint8Array(0);
		const read = this.#readLines(last, last.length);
		if (!read.ok || this.#onRow !== null) return read;
		return this.#fault('no-header', 'nothing', 'a header row that begins with timeS');
	}

	#readLines(bytes: Uint8Array, end: number): Result<null, Problem> {
		let from = 0;
		while (from < end) {
			const stop = bytes.indexOf(newline, from);
			const to = stop > from && bytes[stop - 1] === carriageReturn ? stop - 1 : stop;
			this.#line++;
			if (to - from > longestLine) return this.#tooLong(this.#line);
			if (to > from) {
				const read = this.#onRow === null ? this.#readHeader(bytes.subarray(from, to)) : this.#readRow(bytes, from, to);
				if (!read.ok) return read;
			}
			from = stop + 1;
		}
		return ok(null);
	}

	#readHeader(bytes: Uint8Array): Result<null, Problem> {
		const text = this.#text(bytes, 0, bytes.length);
		if (text === null) return this.#fault('not-utf8', 'other bytes', 'UTF-8');
		const [time, ...ids] = text
			.replace(byteOrderMark, '')
			.split(',')
			.map((heading) => heading.trim().replace(/^"(.*)"$/, '$1'));
		if (time !== 'timeS') return this.#fault('no-time-column', (time ?? '').slice(0, 60), 'timeS as the first column');
		if (ids.some((id) => id === '')) return this.#fault('empty-column', 'a heading without text', 'an id per column');
		const twice = ids.find((id, at) => id === 'timeS' || ids.indexOf(id) !== at);
		if (twice !== undefined) return this.#fault('duplicate-column', twice.slice(0, 60), 'each column once');
		this.#cells = ids.map(() => Number.NaN);
		this.#onRow = this.#onColumns(ids);
		return ok(null);
	}

	#readRow(bytes: Uint8Array, from: number, to: number): Result<null, Problem> {
		let timeS = Number.NaN;
		let field = -1;
		for (let start = from; start <= to; field++) {
			let stop = start;
			while (stop < to && bytes[stop] !== comma) stop++;
			const read = readCell(bytes, start, stop, point);
			if (field === -1) {
				if (typeof read !== 'number') {
					return this.#fault('not-a-time', (this.#text(bytes, start, stop) ?? '').slice(0, 60), 'seconds');
				}
				timeS = read;
			} else if (field < this.#cells.length) {
				const cell = read === 'gap' ? Number.NaN : read === 'text' ? this.#state(bytes, start, stop) : read;
				if (cell === null) return this.#fault('not-utf8', 'other bytes', 'UTF-8');
				this.#cells[field] = cell;
			}
			start = stop + 1;
		}
		if (field !== this.#cells.length) {
			return this.#fault('row-length', `${field + 1} cells`, `${this.#cells.length + 1} cells`);
		}
		return (this.#onRow as TraceRow)(timeS, this.#cells, this.#line);
	}

	#state(bytes: Uint8Array, from: number, to: number): string | null {
		const text = this.#text(bytes, from, to)
			?.trim()
			.replace(/^"(.*)"$/, '$1');
		if (text === undefined) return null;
		const known = this.#states.get(text);
		if (known !== undefined) return known;
		if (this.#states.size < 1000) this.#states.set(text, text);
		return text;
	}

	#text(bytes: Uint8Array, from: number, to: number): string | null {
		try {
			return this.#decoder.decode(bytes.subarray(from, to));
		} catch {
			return null;
		}
	}

	#tooLong(line: number): Result<never, TraceFileFault> {
		return fail({
			code: 'line-too-long',
			found: `over ${longestLine} bytes`,
			needed: 'rows of numbers',
			path: `line ${line}`,
		});
	}

	#fault(code: TraceFileFault['code'], found: string, needed: string): Result<never, TraceFileFault> {
		return fail({ code, found, needed, path: `line ${this.#line}` });
	}
}

function joined(first: Uint8Array, second: Uint8Array): Uint8Array<ArrayBuffer> {
	const all = new Uint8Array(first.length + second.length);
	all.set(first);
	all.set(second, first.length);
	return all;
}
