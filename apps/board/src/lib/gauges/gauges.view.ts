import type { LiveLine } from '@stillmast/core/exceedance';
import type { FeedFaults, FeedPulse, FeedWatch } from '@stillmast/core/feed';
import type { TypeData } from '@stillmast/formats/type-data';
import type { LaneReading, Limit } from '$lib/parts/wall/lane.view.js';
import { limitWords, type WallRow } from '$lib/parts/wall/wall.view.js';
import { fill } from '$lib/words/fill.js';
import { gauges as words } from '$lib/words/gauges.js';
import { numberText } from '$lib/words/number.js';
import { namingOf } from './parameter-names.js';

type LimitLine = TypeData['limits'][number];

/** A limit that is being passed at this moment, in words. */
export interface PassedNow {
	readonly what: string;
	readonly value: string;
	readonly limit: string;
}

/** What one source shows at one moment. */
export interface SourceNow {
	readonly source: string;
	readonly pulse: FeedPulse;
	/** How live it is, in a sentence and in a few words. */
	readonly status: string;
	readonly brief: string;
	/** Lines that hold or may hold, by the id of the type's limit line. */
	readonly rows: readonly WallRow[];
	/** Gauges that no limit stands on. */
	readonly others: readonly string[];
	readonly passed: PassedNow | null;
	/** The line that will be passed soon, in words. */
	readonly near: string | null;
	/** What was wrong with its times, one sentence each. */
	readonly faults: readonly string[];
}

/** Where a lane without an upper wall ends, as a share of its lower one. */
const laneBeyond = 1.08;

/**
 * @param nowS on the clock that the watch's moments arrived by
 */
export function sourceNow(source: string, watch: FeedWatch, typeData: TypeData, nowS: number): SourceNow {
	const pulse = watch.pulse(nowS);
	const states = watch.limits(nowS).filter(({ fresh }) => fresh);
	const live = states.flatMap(({ value, lines }) =>
		value === null ? [] : lines.map((line) => ({ value, line, page: pageOf(typeData, line) })),
	);
	const rows = live.map(({ value, line, page }) => rowOf(line, value, page, typeData));
	const passed = live.find(({ line }) => line.holds === 'surely' && line.margin < 0);
	const near = live.find(({ line }) => line.soon && line.margin >= 0);
	const age = ageText(watch.ageS(nowS) ?? 0);
	const stalled = pulse !== 'live';
	return {
		source,
		pulse,
		status: stalled ? fill(words.stalled, { age }) : words.live,
		brief: stalled ? fill(words.stalledBrief, { age }) : words.live,
		rows,
		others: othersOf(watch, typeData, nowS),
		passed: passed === undefined ? null : passedWords(rowOf(passed.line, passed.value, passed.page, typeData)),
		near: near === undefined ? null : (near.page?.words ?? near.line.line),
		faults: faultSentences(watch.faults),
	};
}

function pageOf(typeData: TypeData, { line }: LiveLine): LimitLine | null {
	return typeData.limits.find(({ id }) => id === line) ?? null;
}

function rowOf(line: LiveLine, value: number, page: LimitLine | null, typeData: TypeData): WallRow {
	const { unit, digits } = namingOf(typeData, page?.parameter ?? line.line);
	const isBelow = page?.below !== undefined;
	const limit: Limit = isBelow
		? { kind: 'at-least', limit: line.bound, laneTo: line.bound * laneBeyond }
		: { kind: 'at-most', limit: line.bound };
	return {
		id: line.line,
		label: page?.words ?? line.line,
		unit: page?.unit ?? unit,
		digits,
		limit,
		goal: null,
		reading: readingOf(line, value, page),
		isNow: line.holds === 'surely' && page?.when !== undefined,
	};
}

/** Past a line whose condition nobody knows is neither inside nor outside. */
function readingOf({ margin, holds }: LiveLine, value: number, page: LimitLine | null): LaneReading {
	if (margin < 0 && holds === 'maybe') {
		return { state: 'cannot-judge', reason: fill(words.condition, { when: page?.when ?? '' }) };
	}
	return { state: margin < 0 ? 'outside' : 'inside', value, low95: value, high95: value };
}

function passedWords(row: WallRow): PassedNow {
	const value = row.reading.state === 'outside' ? row.reading.value : 0;
	return {
		what: row.label,
		value: `${numberText(value, { digits: row.digits })} ${row.unit}`,
		limit: limitWords(row),
	};
}

function othersOf(watch: FeedWatch, typeData: TypeData, nowS: number): readonly string[] {
	const limited = new Set(typeData.limits.map(({ parameter }) => parameter));
	return Object.entries(watch.newest(nowS)?.values ?? {}).flatMap(([id, value]) => {
		if (limited.has(id) || !Number.isFinite(value)) return [];
		const { name, unit, digits } = namingOf(typeData, id);
		return [fill(words.other, { name, value: `${numberText(value, { digits })} ${unit}`.trim() })];
	});
}

function faultSentences({ gaps, repeats, backward, passedOver }: FeedFaults): readonly string[] {
	const said = [
		[gaps, words.jumped],
		[backward, words.backward],
		[repeats, words.repeated],
		[passedOver, words.flooded],
	] as const;
	return said.flatMap(([count, sentence]) => (count === 0 ? [] : [fill(sentence, { count: String(count) })]));
}

const minuteS = 60;

function ageText(ageS: number): string {
	return ageS < minuteS
		? fill(words.ageSeconds, { count: String(Math.floor(ageS)) })
		: fill(words.ageMinutes, { count: String(Math.floor(ageS / minuteS)) });
}

/** The lines of a step on the glass: each with its limit, the bar only while a fresh feed has it and its condition may hold. */
export function stepRows(
	lineIds: readonly string[],
	typeData: TypeData,
	sources: readonly SourceNow[],
): readonly WallRow[] {
	return lineIds.flatMap((id) => {
		const live = sources.flatMap(({ rows }) => rows).find((row) => row.id === id);
		if (live !== undefined) return [live];
		const page = typeData.limits.find((line) => line.id === id);
		const bound = page?.above ?? page?.below;
		if (page === undefined || bound === undefined) return [];
		const limit: Limit =
			page.below === undefined
				? { kind: 'at-most', limit: bound }
				: { kind: 'at-least', limit: bound, laneTo: bound * laneBeyond };
		const { digits } = namingOf(typeData, page.parameter);
		return [{ id, label: page.words, unit: page.unit, digits, limit, goal: null, reading: { state: 'missing' } }];
	});
}
