import { assessTrace, type Episode, type Findings, type Limits, type Line } from '../src/exceedance/index.js';
import {
	aboveTable,
	bothHold,
	isLevelAt,
	levelSpans,
	obeys,
	peakIn,
	type Span,
	sampling,
	spansBeyond,
	stateIsSeen,
	type Truth,
	truth,
	valueAt,
} from './exceedance-truths.js';
import { okValue } from './published-vectors.js';

export const shortestS = 0.5;
/** Crossings and time stamps are doubles of tens of seconds. */
const tiny = 1e-9;
/** Steps of an indication, for one truth in five: torque in %, airspeed in kt. */
const steps = { torque: 0.25, speed: 1 };
const table: readonly Span[] = [
	[0, 110],
	[35, 104],
	[60, 100],
	[140, 97],
];

/** What a study counts: over lines whose truth obeys the shortest time, or over those that break it. */
export interface Counts {
	truths: number;
	lines: number;
	excursions: number;
	underCalls: number;
	falseProofs: number;
	violatedRanges: number;
	uncovered: number;
	wideRanges: number;
	longLists: number;
}

export function noCounts(): Counts {
	return {
		truths: 0,
		lines: 0,
		excursions: 0,
		underCalls: 0,
		falseProofs: 0,
		violatedRanges: 0,
		uncovered: 0,
		wideRanges: 0,
		longLists: 0,
	};
}

/** Lines of the study: never, timed, summed, falling, a band, one and two conditions, a bound from a table. Invented. */
function limitsOf(slew: boolean, isStepped: boolean): Limits {
	const invented = { reference: 'invented' };
	const fast = { iasKt: { atLeast: 40 } };
	return {
		parameters: [
			{
				id: 'torquePct',
				unit: '%',
				shortestS,
				resolution: isStepped ? steps.torque : 0,
				...(slew ? { slewPerSecond: 40.001 } : {}),
				lines: [
					{ id: 'never', above: 108, maxSeconds: 0, ...invented },
					{ id: 'timed', above: 104, maxSeconds: 2, ...invented },
					{ id: 'summed', above: 105, maxSeconds: 4, timeIs: 'sum-of-flight', ...invented },
					{ id: 'low', below: 93, maxSeconds: 1, ...invented },
					{ id: 'band', between: [95, 98], maxSeconds: 1.5, ...invented },
					{ id: 'fast', above: 101, maxSeconds: 1, when: fast, ...invented },
					{ id: 'fast-level', above: 100, maxSeconds: 1, when: { ...fast, phase: { equals: 'level' } }, ...invented },
					// A table is entered with what is indicated: in steps it has no straight truth to hold against.
					...(isStepped
						? []
						: [{ id: 'table', aboveByTable: { parameter: 'iasKt', points: table }, maxSeconds: 1, ...invented }]),
				],
			},
			{
				id: 'iasKt',
				shortestS,
				resolution: isStepped ? steps.speed : 0,
				...(slew ? { slewPerSecond: 10.001 } : {}),
			},
		],
	};
}

/** One truth, sampled and judged. @param broken takes the lines whose truth breaks the assumptions */
export function study(seed: number, counts: Counts, broken: Counts): void {
	const real = truth(seed);
	const { timesS, spacingS } = sampling(seed, real.endS);
	const isStepped = seed % 5 === 0;
	const inSteps = (value: number, step: number): number => (isStepped ? Math.round(value / step) * step : value);
	const limits = limitsOf(seed % 3 !== 0, isStepped);
	// Airspeed comes at a third of the rate, with empty cells between; the phase at every second row.
	const rows = timesS.map((t, k): [number, (number | string)[]] => [
		t,
		[
			inSteps(valueAt(real.torque, t), steps.torque),
			k % 3 === 0 ? inSteps(valueAt(real.speed, t), steps.speed) : Number.NaN,
			k % 2 === 0 ? (isLevelAt(real, t) ? 'level' : 'turning') : Number.NaN,
		],
	]);
	const found = okValue(assessTrace(limits, ['torquePct', 'iasKt', 'phase'], rows));
	const phaseTimesS = timesS.filter((_, k) => k % 2 === 0);
	const ends: Span = [timesS[0] as number, timesS.at(-1) as number];
	counts.truths++;
	if (found.unseen.length > 20) counts.longLists++;
	for (const line of limits.parameters[0]?.lines ?? []) {
		const { statements, sense } = statementsOf(line, real, isStepped);
		const holds = statements.every((spans) => obeys(spans, shortestS, real.endS));
		const isSeen = line.when?.phase === undefined || stateIsSeen(real, phaseTimesS);
		const own = holds && isSeen ? counts : broken;
		const spans = statements
			.reduce(bothHold)
			.map(([a, b]): Span => [Math.max(a, ends[0]), Math.min(b, ends[1])])
			.filter(([a, b]) => b > a);
		own.lines++;
		const peakOf = (span: Span): number => sense * inSteps(peakIn(real.torque, span, sense), steps.torque);
		const isBounded = !isStepped && line.aboveByTable === undefined;
		// Conditions are bounded by their own column's samples.
		const neighboursS = 2 * spacingS * (line.when === undefined ? 1 : 3);
		judge(
			found,
			line,
			spans,
			own,
			isBounded && neighboursS <= shortestS ? neighboursS : Number.POSITIVE_INFINITY,
			peakOf,
			sense,
		);
	}
}

interface TrueLine {
	/** When each statement of the line is true of what is indicated: a step is passed half a step further out. */
	readonly statements: readonly (readonly Span[])[];
	readonly sense: 1 | -1;
}

function statementsOf(line: Line, real: Truth, isStepped: boolean): TrueLine {
	const half = isStepped ? steps.torque / 2 : 0;
	const beyond = (bound: number, sense: 1 | -1): readonly Span[] =>
		spansBeyond(real.torque, bound + sense * half, sense);
	if (line.below !== undefined) return { statements: [beyond(line.below, -1)], sense: -1 };
	if (line.between !== undefined) {
		return { statements: [beyond(line.between[0], 1), beyond(line.between[1], -1)], sense: 1 };
	}
	if (line.aboveByTable !== undefined) {
		return { statements: [spansBeyond(aboveTable(real, line.aboveByTable.points), 0, 1)], sense: 1 };
	}
	const fast = spansBeyond(real.speed, 40 - (isStepped ? steps.speed / 2 : 0), 1);
	return {
		statements: [
			beyond(line.above ?? 0, 1),
			...(line.when?.iasKt === undefined ? [] : [fast]),
			...(line.when?.phase === undefined ? [] : [levelSpans(real)]),
		],
		sense: 1,
	};
}

/** @param mostWidthS how far apart the ends of a duration's range may lie */
function judge(
	found: Findings,
	{ id, maxSeconds, timeIs }: Line,
	spans: readonly Span[],
	counts: Counts,
	mostWidthS: number,
	peakOf: (span: Span) => number,
	sense: 1 | -1,
): void {
	const episodes = found.episodes.filter(({ line }) => line === id);
	const told: readonly Omit<Episode, 'verdict'>[] = [...episodes, ...found.within.filter(({ line }) => line === id)];
	const unseen = found.unseen.filter(({ line }) => line === id);
	const total = spans.reduce((sum, [a, b]) => sum + b - a, 0);
	const lies = ([a, b]: Span, from: number, to: number): boolean => a >= from - tiny && b <= to + tiny;
	let soFarS = 0;
	for (const span of spans) {
		counts.excursions++;
		soFarS += span[1] - span[0];
		const isHidden = unseen.some(({ fromS, toS }) => lies(span, fromS, toS));
		if (!isHidden && !told.some(({ startS, endS }) => lies(span, startS[0], endS[1]))) counts.uncovered++;
		const passed = (timeIs === 'sum-of-flight' ? soFarS : span[1] - span[0]) > maxSeconds + tiny;
		const isCalled = episodes.some(({ startS, endS }) => lies(span, startS[0], endS[1]));
		if (passed && !isCalled && !isHidden) counts.underCalls++;
	}
	for (const one of told) {
		const inside = spans.filter(([a, b]) => a < one.endS[1] && b > one.startS[0]);
		const longestS = Math.max(0, ...inside.map(([a, b]) => b - a));
		const judgedS = timeIs === 'sum-of-flight' ? total : longestS;
		if ('verdict' in one && one.verdict === 'proved' && !(judgedS > maxSeconds)) counts.falseProofs++;
		if (longestS < one.durationS[0] - tiny || longestS > one.durationS[1] + tiny) counts.violatedRanges++;
		if (one.durationS[1] - one.durationS[0] > mostWidthS + tiny) counts.wideRanges++;
		const first = inside[0];
		if (first === undefined) continue;
		if (first[0] < one.startS[0] - tiny || first[0] > one.startS[1] + tiny) counts.violatedRanges++;
		const peak = Math.max(...inside.map(peakOf));
		const most = one.peak[1] === null ? Number.POSITIVE_INFINITY : sense * one.peak[1];
		if (peak < sense * one.peak[0] - tiny || peak > most + tiny) counts.violatedRanges++;
	}
	const { timeS, count } = found.totals[id] as Findings['totals'][string];
	if (total < timeS[0] - tiny || total > timeS[1] + tiny) counts.violatedRanges++;
	if (spans.length < count[0] || spans.length > count[1]) counts.violatedRanges++;
}
