import { fail, ok, type Problem, type Result } from '../result/index.js';
import { governingOf } from './governing.js';
import { LineJudge, type RowCells } from './line-judge.js';
import {
	type Assumption,
	defaultShortestS,
	type Findings,
	type LimitedParameter,
	type Limits,
	type Line,
} from './model.js';
import { listedUnseen } from './unseen.js';
import { judgeRuns, type Kept, type LineRuns, totalsOf } from './verdicts.js';

export interface TraceFault extends Problem {
	readonly code: 'clock-backwards' | 'duplicate-time' | 'not-a-time' | 'no-rows' | 'not-a-number';
}

/** Rows between two settlements: what is held back is never more. */
const rowsHeld = 2048;

/**
 * Judges a trace against limits, row by row and in bounded memory.
 * @param columns ids of the cells that rows hold, time not among them; an empty cell is NaN, a state is text
 */
export class Assessor {
	readonly #limits: Limits;
	readonly #columns: readonly string[];
	readonly #phaseColumn: number;
	readonly #phases: (readonly [number, string])[] = [];
	#judges: readonly LineJudge[] = [];
	#atS = Number.NaN;
	#rows = 0;
	readonly #numeric: readonly number[];

	constructor(limits: Limits, columns: readonly string[]) {
		this.#limits = limits;
		this.#columns = columns;
		this.#phaseColumn = columns.indexOf('phase');
		this.#numeric = limits.parameters
			.filter(({ lines = [] }) => lines.length > 0)
			.map(({ id }) => columns.indexOf(id))
			.filter((column) => column >= 0);
	}

	/** Times rise strictly; the problem's path names the row, counted from 1. */
	push(timeS: number, cells: RowCells): Result<null, TraceFault> {
		const path = `row ${this.#rows + 1}`;
		if (!Number.isFinite(timeS)) return fail({ code: 'not-a-time', found: timeS, needed: 'seconds', path });
		if (timeS === this.#atS) return fail({ code: 'duplicate-time', found: timeS, needed: `above ${this.#atS}`, path });
		if (timeS < this.#atS) return fail({ code: 'clock-backwards', found: timeS, needed: `above ${this.#atS}`, path });
		for (const column of this.#numeric) {
			if (typeof cells[column] === 'string') {
				return fail({ code: 'not-a-number', found: cells[column], needed: 'a number or nothing', path });
			}
		}
		if (this.#rows === 0) this.#begin(timeS);
		this.#atS = timeS;
		this.#rows++;
		this.#notePhase(timeS, cells[this.#phaseColumn]);
		for (const judge of this.#judges) judge.push(timeS, cells);
		if (this.#rows % rowsHeld === 0) for (const judge of this.#judges) judge.settle(timeS);
		return ok(null);
	}

	finish(): Result<Findings, TraceFault> {
		if (this.#rows === 0) return fail({ code: 'no-rows', found: 0, needed: 'one row at least' });
		for (const judge of this.#judges) judge.finish(this.#atS);
		const all: LineRuns[] = this.#judges.map(({ parameter, line, sense, builder }) => ({
			parameter: parameter.id,
			line,
			sense,
			shortestS: parameter.shortestS ?? defaultShortestS,
			resolution: parameter.resolution ?? 0,
			runs: builder.runs,
			sureS: builder.sureS,
			mayS: builder.mayS,
		}));
		const kept = all.flatMap(judgeRuns).sort((a, b) => a.startS[0] - b.startS[0]);
		return ok({
			format: 'stillmast/findings@1',
			episodes: kept.flatMap((one) => (one.verdict === 'within' ? [] : [{ ...one, verdict: one.verdict }])),
			within: kept.filter(({ verdict }) => verdict === 'within').map(withoutVerdict),
			...governingOf(this.#limits, kept),
			totals: Object.fromEntries(
				all.map((one, at) => [one.line.id, totalsOf(one, (this.#judges[at] as LineJudge).builder.unseen.mostTimes)]),
			),
			unseen: listedUnseen(
				this.#judges.flatMap(({ builder, sense, parameter }) => builder.unseenTimes(sense, parameter.resolution ?? 0)),
			),
			assumptions: this.#assumptions(),
		});
	}

	#begin(timeS: number): void {
		const phaseAt = (atS: number): string | null => this.#phases.findLast(([fromS]) => fromS <= atS)?.[1] ?? null;
		this.#judges = this.#limits.parameters.flatMap((parameter) =>
			(parameter.lines ?? []).map(
				(line) => new LineJudge(parameter, line, this.#limits, this.#columns, timeS, phaseAt),
			),
		);
	}

	#notePhase(timeS: number, cell: number | string | undefined): void {
		if (cell === undefined || Number.isNaN(cell)) return;
		const phase = String(cell);
		if (this.#phases.at(-1)?.[1] !== phase) this.#phases.push([timeS, phase]);
	}

	/** Of every column that a line asks for, whether or not the limits list it. */
	#assumptions(): readonly Assumption[] {
		const asked = new Set(this.#judges.flatMap(({ parameter, line }) => idsOf(parameter, line)));
		return [...asked]
			.map((id) => this.#limits.parameters.find((one) => one.id === id) ?? { id })
			.flatMap(parameterAssumptions)
			.concat(this.#heldStates(), this.#missingColumns());
	}

	#heldStates(): readonly Assumption[] {
		const held = this.#judges.flatMap(({ line }) =>
			Object.entries(line.when ?? {}).flatMap(([id, { equals }]) => (equals === undefined ? [] : [id])),
		);
		return [...new Set(held)].map((id) => ({
			code: 'state-held',
			parameter: id,
			found: null,
			needed: null,
			words: `The state ${id} is taken to hold between equal samples.`,
		}));
	}

	#missingColumns(): readonly Assumption[] {
		const asked = new Map<string, string[]>();
		for (const { parameter, line } of this.#judges) {
			for (const id of idsOf(parameter, line)) {
				if (!this.#columns.includes(id)) asked.set(id, [...(asked.get(id) ?? []), line.id]);
			}
		}
		return [...asked].map(([id, lines]) => ({
			code: 'column-missing',
			parameter: id,
			found: null,
			needed: `a column ${id}`,
			words: `The trace has no column ${id}; with it the lines ${lines.join(', ')} could be settled.`,
		}));
	}
}

function idsOf(parameter: LimitedParameter, { when = {}, aboveByTable }: Line): readonly string[] {
	return [parameter.id, ...Object.keys(when), ...(aboveByTable === undefined ? [] : [aboveByTable.parameter])];
}

function parameterAssumptions({ id, unit, shortestS, slewPerSecond, lines = [] }: LimitedParameter): Assumption[] {
	const found: Assumption[] = [
		{
			code: 'shortest',
			parameter: id,
			found: shortestS ?? defaultShortestS,
			needed: shortestS === undefined ? 'shortestS' : null,
			words: `No time on either side of a bound of ${id} is taken to be shorter than ${shortestS ?? defaultShortestS} s${shortestS === undefined ? ' (not stated)' : ''}.`,
		},
	];
	if (slewPerSecond === undefined) {
		found.push({
			code: 'no-slew',
			parameter: id,
			found: null,
			needed: 'slewPerSecond',
			words: `No fastest rate of ${id} is stated: what lies between its samples is not bounded.`,
		});
	}
	if (unit === undefined && lines.length > 0) {
		found.push({
			code: 'unit-missing',
			parameter: id,
			found: null,
			needed: 'unit',
			words: `No unit of ${id} is stated: that the trace has the unit of its lines is taken for granted.`,
		});
	}
	return found;
}

function withoutVerdict({ verdict: _, ...rest }: Kept): Omit<Kept, 'verdict'> {
	return rest;
}

/** A whole trace at once. */
export function assessTrace(
	limits: Limits,
	columns: readonly string[],
	rows: Iterable<readonly [number, RowCells]>,
): Result<Findings, TraceFault> {
	const assessor = new Assessor(limits, columns);
	for (const [timeS, cells] of rows) {
		const pushed = assessor.push(timeS, cells);
		if (!pushed.ok) return pushed;
	}
	return assessor.finish();
}
