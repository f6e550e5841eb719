import type { LimitedParameter, Limits, Line, LineCondition } from './model.js';
import { defaultShortestS } from './model.js';
import { RunBuilder } from './runs.js';
import { beyond, meets, stateMeets, steepest, tableBound } from './statement.js';
import { Sweep } from './sweep.js';
import { maybe, never, type Status, surely, Track, type TrackRules } from './track.js';

/** A row's cells by column; NaN is an empty cell, text a state. */
export type RowCells = readonly (number | string)[];

interface Feed {
	readonly column: number;
	readonly track: Track;
	/** Silence after which the column counts as unknown, so that nothing piles up behind it. */
	readonly patienceS: number;
	readonly push: (timeS: number, cell: number | string, cells: RowCells) => void;
}

const patienceS = 60;

/** One line of one parameter, fed row by row. */
export class LineJudge {
	readonly parameter: LimitedParameter;
	readonly line: Line;
	readonly sense: 1 | -1;
	readonly builder: RunBuilder;
	readonly #feeds: readonly Feed[];
	readonly #missing: readonly Track[];
	readonly #sweep: Sweep;

	constructor(
		parameter: LimitedParameter,
		line: Line,
		limits: Limits,
		columns: readonly string[],
		beginS: number,
		phaseAt: (timeS: number) => string | null,
	) {
		this.parameter = parameter;
		this.line = line;
		this.sense = line.below === undefined ? 1 : -1;
		const find = (id: string): LimitedParameter => limits.parameters.find((one) => one.id === id) ?? { id };
		const feeds: Feed[] = [];
		for (const judged of boundFeeds(parameter, line, find, columns)) feeds.push(judged);
		for (const [id, condition] of Object.entries(line.when ?? {})) {
			feeds.push(conditionFeed(find(id), condition, columns.indexOf(id)));
		}
		for (const { track } of feeds) track.begin(beginS);
		this.#feeds = feeds.filter(({ column }) => column >= 0);
		this.#missing = feeds.filter(({ column }) => column < 0).map(({ track }) => track);
		this.builder = new RunBuilder(line.id, parameter.shortestS ?? defaultShortestS, beginS, phaseAt);
		this.#sweep = new Sweep(
			feeds.map(({ track }) => track),
			beginS,
			this.builder,
		);
	}

	push(timeS: number, cells: RowCells): void {
		for (const { column, push } of this.#feeds) {
			const cell = cells[column] as number | string;
			if (typeof cell === 'string' || !Number.isNaN(cell)) push(timeS, cell, cells);
		}
	}

	/** Brings the runs up to date; memory stays bounded when this is called every so many rows. */
	settle(nowS: number): void {
		for (const { track, patienceS: patience } of this.#feeds) {
			if (nowS - track.untilS > patience) track.unknownUntil(nowS);
		}
		for (const track of this.#missing) track.unknownUntil(nowS);
		this.#sweep.run();
	}

	finish(endS: number): void {
		for (const { track } of this.#feeds) track.unknownUntil(endS);
		this.settle(endS);
		this.builder.finish(endS);
	}
}

function rulesOf(parameter: LimitedParameter, merge: boolean, slewPerSecond?: number): TrackRules {
	return {
		shortestS: parameter.shortestS ?? defaultShortestS,
		slewPerSecond: slewPerSecond ?? parameter.slewPerSecond ?? Number.POSITIVE_INFINITY,
		periodS: parameter.periodS ?? Number.NaN,
		held: false,
		merge,
	};
}

function patienceOf({ periodS }: LimitedParameter): number {
	return Math.max(patienceS, 3 * (periodS ?? 0));
}

function boundFeeds(
	parameter: LimitedParameter,
	line: Line,
	find: (id: string) => LimitedParameter,
	columns: readonly string[],
): readonly Feed[] {
	const column = columns.indexOf(parameter.id);
	const resolution = parameter.resolution ?? 0;
	const feed = (sense: 1 | -1, bound: number): Feed => {
		const track = new Track(rulesOf(parameter, false));
		return {
			column,
			track,
			patienceS: patienceOf(parameter),
			push: (timeS, cell) => {
				if (typeof cell === 'string') return;
				const { status, depth } = beyond(sense * (cell - bound), resolution);
				track.push(timeS, status, depth, sense * cell);
			},
		};
	};
	if (line.above !== undefined) return [feed(1, line.above)];
	if (line.below !== undefined) return [feed(-1, line.below)];
	if (line.between !== undefined) return [feed(1, line.between[0]), feed(-1, line.between[1])];
	return line.aboveByTable === undefined ? [] : [tableFeed(parameter, line.aboveByTable, find, columns)];
}

/** A bound that moves with another column: its own slew adds to the parameter's. */
function tableFeed(
	parameter: LimitedParameter,
	table: NonNullable<Line['aboveByTable']>,
	find: (id: string) => LimitedParameter,
	columns: readonly string[],
): Feed {
	const other = find(table.parameter);
	const otherColumn = columns.indexOf(table.parameter);
	const boundSlew = steepest(table) * (other.slewPerSecond ?? Number.POSITIVE_INFINITY);
	const slew = (parameter.slewPerSecond ?? Number.POSITIVE_INFINITY) + (Number.isNaN(boundSlew) ? 0 : boundSlew);
	const bounds = table.points.map(([, bound]) => bound);
	const [least, most] = [Math.min(...bounds), Math.max(...bounds)];
	const track = new Track(rulesOf(parameter, false, slew));
	const resolution = parameter.resolution ?? 0;
	return {
		column: columns.indexOf(parameter.id),
		track,
		patienceS: patienceOf(parameter),
		push: (timeS, cell, cells) => {
			if (typeof cell === 'string') return;
			const at = otherColumn < 0 ? Number.NaN : cells[otherColumn];
			const bound = typeof at === 'number' && !Number.isNaN(at) ? tableBound(table, at) : null;
			const judged =
				bound === null
					? { status: cell > most ? surely : cell + resolution > least ? maybe : never, depth: 0 }
					: beyond(cell - bound, resolution);
			track.push(timeS, judged.status as Status, judged.depth, cell);
		},
	};
}

function conditionFeed(parameter: LimitedParameter, condition: LineCondition, column: number): Feed {
	const held = condition.equals !== undefined;
	const track = new Track({ ...rulesOf(parameter, true), held });
	return {
		column,
		track,
		patienceS: patienceOf(parameter),
		push: (timeS, cell) => {
			const { status, depth } =
				typeof cell === 'string' ? stateMeets(cell, condition) : meets(cell, condition, parameter.resolution);
			track.push(timeS, status, depth, typeof cell === 'string' ? 0 : cell);
		},
	};
}
