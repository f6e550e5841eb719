import type { Readable } from 'node:stream';
import { Assessor, assessTrace, type Findings } from '@stillmast/core/exceedance';
import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { type LimitsDocument, readLimits } from '@stillmast/formats/limits';
import { TraceReader } from '@stillmast/formats/trace';
import { parseDocument } from '../document/read-file.js';

/** From bytes to limits: UTF-8, JSON, schema, meaning; the first fault ends it. */
export function limitsFrom(bytes: Uint8Array): Result<LimitsDocument> {
	const parsed = parseDocument(bytes);
	return parsed.ok ? readLimits(parsed.value) : parsed;
}

/** From a stream of CSV to findings, however long the stream is. */
export async function findingsOf(limits: LimitsDocument, trace: Readable): Promise<Result<Findings>> {
	let assessor: Assessor | null = null;
	const reader = new TraceReader((columns) => {
		const own = new Assessor(limits, columns);
		assessor = own;
		return (timeS, cells, line) => {
			const pushed = own.push(timeS, cells);
			return pushed.ok ? pushed : fail({ ...pushed.problem, path: `line ${line}` });
		};
	});
	for await (const chunk of trace) {
		const pushed = reader.push(typeof chunk === 'string' ? Buffer.from(chunk) : chunk);
		if (!pushed.ok) return pushed;
	}
	const finished = reader.finish();
	if (!finished.ok) return finished;
	return (assessor as Assessor | null)?.finish() ?? fail({ code: 'no-rows', found: 0, needed: 'one row at least' });
}

/** From a line `{ "limits": {…}, "columns": ["timeS", …], "rows": [[0, …], …] }` to findings; an empty cell is null. */
export function findingsOfLine(bytes: Uint8Array, given: LimitsDocument | null): Result<Findings> {
	const parsed = parseDocument(bytes);
	if (!parsed.ok) return parsed;
	const line: { readonly limits?: unknown; readonly columns?: unknown; readonly rows?: unknown } =
		typeof parsed.value === 'object' && parsed.value !== null ? parsed.value : {};
	const limits: Result<LimitsDocument> = given === null ? readLimits(line.limits) : ok(given);
	if (!limits.ok) return fail({ ...limits.problem, path: (limits.problem.path ?? '$').replace('$', () => '$.limits') });
	const columns = columnsOf(line.columns);
	if (!columns.ok) return columns;
	const rows = rowsOf(line.rows, columns.value.length);
	return rows.ok ? assessTrace(limits.value, columns.value, rows.value) : rows;
}

function columnsOf(value: unknown): Result<readonly string[], Problem> {
	const needed = 'a list of different ids that begins with timeS';
	if (!Array.isArray(value)) return fail({ code: 'missing-field', path: '$.columns', needed });
	const [time, ...ids]: readonly unknown[] = value;
	const names = ids.filter((id): id is string => typeof id === 'string' && id !== '');
	if (time !== 'timeS' || names.length !== ids.length || new Set(names).size !== names.length) {
		return fail({ code: 'not-allowed', path: '$.columns', found: JSON.stringify(value).slice(0, 60), needed });
	}
	return ok(names);
}

type Row = readonly [number, readonly (number | string)[]];

function rowsOf(value: unknown, columns: number): Result<readonly Row[], Problem> {
	if (!Array.isArray(value)) return fail({ code: 'missing-field', path: '$.rows', needed: 'a list of rows' });
	const rows: Row[] = [];
	for (const [at, row] of value.entries()) {
		const path = `$.rows[${at}]`;
		if (!Array.isArray(row) || row.length !== columns + 1) {
			return fail({
				code: 'row-length',
				path,
				found: Array.isArray(row) ? `${row.length} cells` : 'no list',
				needed: `${columns + 1} cells`,
			});
		}
		const [timeS, ...cells]: readonly unknown[] = row;
		if (typeof timeS !== 'number') return fail({ code: 'not-a-time', path, found: String(timeS), needed: 'seconds' });
		const read = cells.map((cell) => {
			if (cell === null) return Number.NaN;
			return typeof cell === 'boolean' ? Number(cell) : cell;
		});
		const wrong = read.find((cell) => typeof cell !== 'number' && typeof cell !== 'string');
		if (wrong !== undefined) {
			return fail({ code: 'not-a-number', path, found: JSON.stringify(wrong), needed: 'a number, a state or null' });
		}
		rows.push([timeS, read as (number | string)[]]);
	}
	return ok(rows);
}
