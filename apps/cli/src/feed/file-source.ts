import type { Readable } from 'node:stream';
import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { type FeedHead, type FeedSample, readFeedLine } from '@stillmast/formats/feed';
import { TraceReader } from '@stillmast/formats/trace';
import { isBlank, linesOf } from '../document/lines.js';

/** One moment of a source, with the channels that it has. */
export interface SourceRow {
	readonly channels: FeedHead['channels'];
	readonly sample: FeedSample;
}

/** Rows as they are asked for: nothing is read ahead of what is sent. The first problem is the last thing said. */
export type FeedSource = () => AsyncGenerator<Result<SourceRow, Problem>, void>;

/** Units by the last word of a parameter's id, as names in this project carry them. */
const unitBySuffix: readonly (readonly [RegExp, string])[] = [
	[/Pct$/, '%'],
	[/C$/, '°C'],
	[/Kt$/, 'kt'],
	[/Ft$/, 'ft'],
	[/Ips$/, 'ips'],
	[/Rpm$/, '1/min'],
	[/Kg$/, 'kg'],
	[/Deg$/, '°'],
	[/Hpa$/, 'hPa'],
	[/S$/, 's'],
];

function unitOf(id: string): string {
	return unitBySuffix.find(([suffix]) => suffix.test(id))?.[1] ?? '';
}

/** A trace in CSV. Columns of numbers become channels, columns of words become states. */
export function csvFeed(bytes: Readable): FeedSource {
	return async function* () {
		let channels: FeedHead['channels'] = [];
		let ids: readonly string[] = [];
		let waiting: FeedSample[] = [];
		const reader = new TraceReader((columns) => {
			ids = columns;
			channels = columns.map((id) => ({ id, unit: unitOf(id) }));
			return (timeS, cells) => {
				waiting.push(sampleOf(ids, timeS, cells));
				return ok(null);
			};
		});
		const taken = function* (): Generator<Result<SourceRow, Problem>> {
			const rows = waiting;
			waiting = [];
			for (const sample of rows) yield ok({ channels, sample });
		};
		for await (const piece of bytes) {
			const read = reader.push(piece);
			yield* taken();
			if (read.ok) continue;
			yield read;
			return;
		}
		const last = reader.finish();
		yield* taken();
		if (!last.ok) yield last;
	};
}

function sampleOf(ids: readonly string[], timeS: number, cells: readonly (number | string)[]): FeedSample {
	const values: Record<string, number> = {};
	const states: Record<string, string> = {};
	for (const [at, cell] of cells.entries()) {
		const id = ids[at] ?? '';
		if (typeof cell === 'string') states[id] = cell;
		else if (Number.isFinite(cell)) values[id] = cell;
	}
	return { timeS, values, ...(Object.keys(states).length === 0 ? {} : { states }) };
}

/** Lines of `stillmast/feed@1`: the head first. */
export function lineFeed(bytes: Readable): FeedSource {
	return async function* () {
		let channels: FeedHead['channels'] | null = null;
		for await (const { number, bytes: line } of linesOf(bytes)) {
			if (line.ok && isBlank(line.value)) continue;
			const read = line.ok ? readFeedLine(new TextDecoder().decode(line.value)) : line;
			if (!read.ok) {
				yield fail({ ...read.problem, path: `line ${number}` });
				return;
			}
			if (read.value.is === 'end') return;
			if (read.value.is === 'head') channels = read.value.head.channels;
			else if (channels === null) {
				yield fail({ code: 'no-head', path: `line ${number}` });
				return;
			} else yield ok({ channels, sample: read.value.sample });
		}
	};
}
