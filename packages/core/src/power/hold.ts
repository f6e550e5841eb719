import { fail, ok, type Problem, type Result } from '../result/index.js';
import { type ParameterSteadiness, steadinessOf } from './steadiness.js';

/** How steady one parameter must be while it is held. */
export interface SteadyBand {
	readonly id: string;
	/** Largest reading less smallest over the hold. */
	readonly spanAtMost: number;
	/** Steepest fitted slope, either way. */
	readonly slopePerMinuteAtMost: number;
}

/** What must be so for a reading to count: bleed off, generator load, rotor speed, airspeed. */
export interface HoldCondition {
	readonly quantity: string;
	readonly atLeast?: number | undefined;
	readonly atMost?: number | undefined;
	readonly equals?: number | string | boolean | undefined;
}

export interface HoldRule {
	/** Held steady before anything is averaged. */
	readonly stabiliseS: number;
	/** Averaged after that. */
	readonly recordS: number;
	readonly bands: readonly SteadyBand[];
	/** Quantities averaged beside the bands' own. */
	readonly record: readonly string[];
	/** At or above the value the hold is ended. */
	readonly limits: readonly { readonly id: string; readonly value: number }[];
	/** A longer wait between samples is a gap. */
	readonly periodAtMostS: number;
	readonly conditions: readonly HoldCondition[];
}

export interface HoldTrace {
	/** Ascending. */
	readonly timesS: readonly number[];
	/** One list for each quantity, as long as the times. */
	readonly columns: Readonly<Record<string, readonly number[]>>;
	/** What was confirmed rather than recorded: bleed, generator, anti-ice. */
	readonly confirmed: Readonly<Record<string, number | string | boolean>>;
}

/** Why a hold is not proved; each with what was found and needed. */
export interface HoldObstacle {
	readonly code: 'span' | 'slope' | 'gap' | 'too-short' | 'limit-reached' | 'condition-missing' | 'condition-not-met';
	readonly id: string;
	readonly found: number | string | boolean | null;
	readonly needed: number | string | boolean | HoldCondition;
}

export interface HoldJudgement {
	readonly proved: boolean;
	/** The window that was judged: the first that proves it, else the last. */
	readonly window: { readonly fromS: number; readonly recordFromS: number; readonly toS: number } | null;
	/** Averages over the recording part, all from the one window; empty unless proved. */
	readonly means: Readonly<Record<string, number>>;
	/** Scatter of the single readings about those averages. */
	readonly sds: Readonly<Record<string, number>>;
	readonly parameters: readonly ParameterSteadiness[];
	/** Empty when proved. */
	readonly because: readonly HoldObstacle[];
}

export interface HoldProblem extends Problem {
	readonly code: 'missing-column' | 'uneven-columns' | 'clock-backwards' | 'duplicate-time' | 'not-a-number';
}

/**
 * Whether a condition was held steady long enough, and its averaged reading: the first stretch of stabilising and
 * recording time over which every band holds. A limit ends it; without the conditions nothing counts.
 * Problems: `HoldProblem`, of a trace that is none. @rule PWR-7
 * @rule PWR-8
 */
export function judgeHold(trace: HoldTrace, rule: HoldRule): Result<HoldJudgement, HoldProblem> {
	const fault = traceFault(trace, rule);
	if (fault !== undefined) return fail(fault);
	const { timesS } = trace;
	const conditions = conditionObstacles(trace, rule);
	const reached = firstLimit(trace, rule);
	const usable = reached?.at ?? timesS.length;
	const needS = rule.stabiliseS + rule.recordS;
	let last: HoldJudgement | null = null;
	let from = 0;
	for (let to = 0; to < usable; to++) {
		while (from + 1 < to && (timesS[to] ?? 0) - (timesS[from + 1] ?? 0) >= needS) from++;
		if ((timesS[to] ?? 0) - (timesS[from] ?? 0) < needS) continue;
		last = judgeWindow(trace, rule, from, to, conditions);
		if (last.proved) return ok(last);
	}
	const limit: readonly HoldObstacle[] = reached === undefined ? [] : [reached.obstacle];
	if (last !== null) return ok({ ...last, because: [...limit, ...last.because] });
	const heldS = usable === 0 ? 0 : (timesS[usable - 1] ?? 0) - (timesS[0] ?? 0);
	const short: HoldObstacle = { code: 'too-short', id: 'timeS', found: heldS, needed: needS };
	const nothing = { proved: false, window: null, means: {}, sds: {}, parameters: [] } as const;
	return ok({ ...nothing, because: [...limit, short, ...conditions] });
}

function judgeWindow(
	{ timesS, columns }: HoldTrace,
	rule: HoldRule,
	from: number,
	to: number,
	conditions: readonly HoldObstacle[],
): HoldJudgement {
	const times = timesS.slice(from, to + 1);
	const recordFromS = (times.at(-1) ?? 0) - rule.recordS;
	const parameters = rule.bands.map((band) => steadinessOf(band, times, (columns[band.id] ?? []).slice(from, to + 1)));
	const gap = times.findIndex((time, at) => at > 0 && time - (times[at - 1] ?? time) > rule.periodAtMostS);
	const because = [
		...(gap < 0 ? [] : [gapObstacle(times, gap, rule)]),
		...parameters.flatMap(({ id, span, slopePerMinute, spanOk, slopeOk }, at): HoldObstacle[] => [
			...(spanOk ? [] : [{ code: 'span', id, found: span, needed: rule.bands[at]?.spanAtMost ?? 0 } as const]),
			...(slopeOk
				? []
				: [{ code: 'slope', id, found: slopePerMinute, needed: rule.bands[at]?.slopePerMinuteAtMost ?? 0 } as const]),
		]),
		...conditions,
	];
	const proved = because.length === 0;
	const recorded = [...new Set([...rule.bands.map(({ id }) => id), ...rule.record])];
	const inRecord = times.flatMap((time, at) => (time >= recordFromS ? [from + at] : []));
	const spreads = proved
		? recorded.map((id) => [id, meanAndSd(inRecord.map((at) => columns[id]?.[at] ?? 0))] as const)
		: [];
	return {
		proved,
		window: { fromS: times[0] ?? 0, recordFromS, toS: times.at(-1) ?? 0 },
		means: Object.fromEntries(spreads.map(([id, { mean }]) => [id, mean])),
		sds: Object.fromEntries(spreads.map(([id, { sd }]) => [id, sd])),
		parameters,
		because,
	};
}

function gapObstacle(times: readonly number[], at: number, { periodAtMostS }: HoldRule): HoldObstacle {
	return { code: 'gap', id: 'timeS', found: (times[at] ?? 0) - (times[at - 1] ?? 0), needed: periodAtMostS };
}

function meanAndSd(values: readonly number[]): { readonly mean: number; readonly sd: number } {
	const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
	const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
	return { mean, sd: Math.sqrt(squares / Math.max(1, values.length - 1)) };
}

function firstLimit(
	{ columns }: HoldTrace,
	{ limits }: HoldRule,
): { readonly at: number; readonly obstacle: HoldObstacle } | undefined {
	return limits
		.map(({ id, value }) => {
			const at = (columns[id] ?? []).findIndex((reading) => reading >= value);
			const obstacle = { code: 'limit-reached', id, found: columns[id]?.[at] ?? null, needed: value } as const;
			return { at, obstacle };
		})
		.filter(({ at }) => at >= 0)
		.sort((a, b) => a.at - b.at)[0];
}

function conditionObstacles({ confirmed }: HoldTrace, { conditions }: HoldRule): readonly HoldObstacle[] {
	return conditions.flatMap((needed): HoldObstacle[] => {
		const found = confirmed[needed.quantity];
		if (found === undefined) return [{ code: 'condition-missing', id: needed.quantity, found: null, needed }];
		return holds(found, needed) ? [] : [{ code: 'condition-not-met', id: needed.quantity, found, needed }];
	});
}

function holds(found: number | string | boolean, { atLeast, atMost, equals }: HoldCondition): boolean {
	if (equals !== undefined && found !== equals) return false;
	if (atLeast === undefined && atMost === undefined) return true;
	return typeof found === 'number' && found >= (atLeast ?? found) && found <= (atMost ?? found);
}

function traceFault({ timesS, columns }: HoldTrace, rule: HoldRule): HoldProblem | undefined {
	const needed = [...rule.bands.map(({ id }) => id), ...rule.record, ...rule.limits.map(({ id }) => id)];
	for (const id of needed) {
		const column = columns[id];
		const path = `$.columns['${id}']`;
		if (column === undefined) return { code: 'missing-column', found: Object.keys(columns), needed: id, path };
		if (column.length !== timesS.length) {
			return { code: 'uneven-columns', found: column.length, needed: timesS.length, path };
		}
		const bad = column.findIndex((value) => !Number.isFinite(value));
		if (bad >= 0)
			return { code: 'not-a-number', found: String(column[bad]), needed: 'a number', path: `${path}[${bad}]` };
	}
	const bad = timesS.findIndex((time, at) => !(at === 0 ? Number.isFinite(time) : time > (timesS[at - 1] ?? time)));
	if (bad < 0) return undefined;
	const same = timesS[bad] === timesS[bad - 1];
	const code = !Number.isFinite(timesS[bad]) ? 'not-a-number' : same ? 'duplicate-time' : 'clock-backwards';
	return { code, found: String(timesS[bad]), needed: `more than ${timesS[bad - 1]}`, path: `$.timesS[${bad}]` };
}
