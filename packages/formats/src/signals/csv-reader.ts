import { fail, ok, type Result } from '@stillmast/core/result';
import { type ColumnPiece, GrowingColumns, rateTolerance } from './columns.js';
import { readCell } from './csv-number.js';
import { type SignalFileFault, shown } from './fault.js';

/** How a CSV file is laid out. Everything may be left out for a plain file whose headings are the channel ids. */
export interface CsvLayout {
	/** Found from the header row unless stated: tab, semicolon or comma. */
	readonly delimiter?: ',' | ';' | '\t' | undefined;
	/** The decimal sign, `.` unless stated. */
	readonly decimal?: '.' | ',' | undefined;
	/** Lines before the header row; 0 unless stated. */
	readonly skipLines?: number | undefined;
	/** Heading in the file for a channel id, where they differ. */
	readonly columns?: Readonly<Record<string, string>> | undefined;
	/** Heading of a column of seconds to check the sample rate by; `timeS` when the file has one. */
	readonly timeColumn?: string | undefined;
}

/** A row this long, in bytes, is no row: the file is something else. */
const longestLine = 1 << 20;

const newline = 10;
const carriageReturn = 13;

/**
 * Reads wanted columns from a CSV file that arrives in pieces of any size. Empty cells are gaps (NaN); other columns are
 * not looked at. What it holds is one piece and one line.
 */
export class CsvReader {
	readonly #wanted: readonly string[];
	readonly #layout: CsvLayout;
	readonly #sampleRateHz: number;
	#rest = new Uint8Array(0);
	#line = 0;
	#rows: GrowingColumns;
	/** For each column of the file which wanted one it is; −1 for none, `wanted.length` for the time. Null before the header. */
	#places: Int32Array | null = null;
	#lastPlace = 0;
	#delimiter = 44;
	readonly #point: number;
	#time = new ClockCheck();

	/** @param wanted column ids, each once */
	constructor(wanted: readonly string[], sampleRateHz: number, layout: CsvLayout = {}) {
		this.#wanted = wanted;
		this.#layout = layout;
		this.#sampleRateHz = sampleRateHz;
		this.#point = layout.decimal === ',' ? 44 : 46;
		this.#rows = new GrowingColumns(wanted);
	}

	/** Faults `missing-column`, `not-a-number`, `short-row`, `line-too-long`, `sample-rate-differs`. */
	push(bytes: Uint8Array): Result<ColumnPiece, SignalFileFault> {
		const all = this.#rest.length === 0 ? bytes : joined(this.#rest, bytes);
		const end = all.lastIndexOf(newline) + 1;
		this.#rest = all.slice(end);
		if (this.#rest.length > longestLine) return this.#tooLong();
		return this.#readLines(all, end);
	}

	/** Takes the last line, which may lack its end. */
	finish(): Result<ColumnPiece, SignalFileFault> {
		const last = this.#rest;
		this.#rest = new Uint8Array(0);
		const read = this.#readLines(joined(last, Uint8Array.of(newline)), last.length + 1);
		if (!read.ok) return read;
		if (this.#places === null)
			return fail({
				code: 'not-this-format',
				found: 'no header row',
				needed: 'a header row',
				path: `line ${this.#line}`,
			});
		return read;
	}

	#readLines(bytes: Uint8Array, end: number): Result<ColumnPiece, SignalFileFault> {
		let from = 0;
		while (from < end) {
			const stop = bytes.indexOf(newline, from);
			const to = stop > from && bytes[stop - 1] === carriageReturn ? stop - 1 : stop;
			this.#line++;
			if (to - from > longestLine) return this.#tooLong();
			if (this.#line > (this.#layout.skipLines ?? 0) && to > from) {
				const fault =
					this.#places === null ? this.#readHeader(bytes.subarray(from, to)) : this.#readRow(bytes, from, to);
				if (fault) return fail(fault);
			}
			from = stop + 1;
		}
		return ok(this.#rows.take());
	}

	#readHeader(bytes: Uint8Array): SignalFileFault | null {
		const text = new TextDecoder().decode(bytes);
		const delimiter = this.#layout.delimiter ?? ['\t', ';'].find((candidate) => text.includes(candidate)) ?? ',';
		this.#delimiter = delimiter.charCodeAt(0);
		const headings = text.split(delimiter).map((heading) => heading.trim().replace(/^"(.*)"$/, '$1'));
		const places = new Int32Array(headings.length).fill(-1);
		for (const [k, id] of this.#wanted.entries()) {
			const heading = this.#layout.columns?.[id] ?? id;
			const at = headings.indexOf(heading);
			if (at < 0)
				return {
					code: 'missing-column',
					found: shown(headings.join(', ')),
					needed: heading,
					path: `line ${this.#line}`,
				};
			if (places[at] !== -1)
				return {
					code: 'missing-column',
					found: `${heading} asked for twice`,
					needed: 'one column for each id',
					path: `line ${this.#line}`,
				};
			places[at] = k;
		}
		const time = headings.indexOf(this.#layout.timeColumn ?? 'timeS');
		if (time < 0 && this.#layout.timeColumn !== undefined) {
			return {
				code: 'missing-column',
				found: shown(headings.join(', ')),
				needed: this.#layout.timeColumn,
				path: `line ${this.#line}`,
			};
		}
		if (time >= 0 && places[time] === -1) places[time] = this.#wanted.length;
		this.#places = places;
		this.#lastPlace = places.findLastIndex((place) => place >= 0);
		return null;
	}

	#readRow(bytes: Uint8Array, from: number, to: number): SignalFileFault | null {
		const places = this.#places as Int32Array;
		const row = this.#rows.addRow();
		let start = from;
		for (let field = 0; field <= this.#lastPlace; field++) {
			if (start > to)
				return {
					code: 'short-row',
					found: `${field} columns`,
					needed: `${this.#lastPlace + 1} columns`,
					path: `line ${this.#line}`,
				};
			let stop = start;
			while (stop < to && bytes[stop] !== this.#delimiter) stop++;
			const place = places[field] as number;
			if (place >= 0) {
				const cell = readCell(bytes, start, stop, this.#point);
				if (cell === 'text') {
					const found = shown(new TextDecoder().decode(bytes.subarray(start, stop)));
					return {
						code: 'not-a-number',
						found,
						needed: 'a number or nothing',
						path: `line ${this.#line}, column ${field + 1}`,
					};
				}
				if (cell !== 'gap') {
					if (place < this.#wanted.length) this.#rows.set(place, row, cell);
					else if (!this.#time.agrees(cell, this.#sampleRateHz))
						return this.#time.fault(this.#sampleRateHz, this.#line);
				}
			}
			start = stop + 1;
		}
		this.#time.next();
		return null;
	}

	#tooLong(): Result<never, SignalFileFault> {
		return fail({
			code: 'line-too-long',
			found: `over ${longestLine} bytes`,
			needed: 'rows of numbers',
			path: `line ${this.#line + 1}`,
		});
	}
}

/** Holds a column of seconds against the sample rate of the setup, from the hundredth row on. */
class ClockCheck {
	#row = 0;
	#first = Number.NaN;
	#measuredHz = Number.NaN;

	agrees(timeS: number, sampleRateHz: number): boolean {
		if (Number.isNaN(this.#first)) this.#first = timeS - this.#row / sampleRateHz;
		if (this.#row < 100) return true;
		this.#measuredHz = this.#row / (timeS - this.#first);
		return Math.abs(this.#measuredHz / sampleRateHz - 1) <= rateTolerance;
	}

	next(): void {
		this.#row++;
	}

	fault(sampleRateHz: number, line: number): SignalFileFault {
		return {
			code: 'sample-rate-differs',
			found: `${this.#measuredHz} Hz`,
			needed: `${sampleRateHz} Hz`,
			path: `line ${line}`,
		};
	}
}

function joined(first: Uint8Array, second: Uint8Array): Uint8Array {
	const all = new Uint8Array(first.length + second.length);
	all.set(first);
	all.set(second, first.length);
	return all;
}
