import type { Episode, Line, LineTotals, Range } from './model.js';
import type { Run } from './runs.js';

/** Two times this close are the same: differences of decimal time stamps carry the last bits of a double. */
export const sameS = 1e-9;

export interface LineRuns {
	readonly parameter: string;
	readonly line: Line;
	readonly sense: 1 | -1;
	readonly shortestS: number;
	readonly resolution: number;
	readonly runs: readonly Run[];
	readonly sureS: number;
	readonly mayS: number;
}

export type Kept = Omit<Episode, 'verdict'> & { readonly verdict: 'proved' | 'possible' | 'within' };

/** Each run against what the line allows: its own time, added times, or the number of times. @rule EXC-8 EXC-9 */
export function judgeRuns(all: LineRuns): readonly Kept[] {
	const { line, runs } = all;
	let sumLo = 0;
	let sumHi = 0;
	let countLo = 0;
	let countHi = 0;
	let before: Run | null = null;
	return runs.map((run) => {
		const sure = !Number.isNaN(run.firstSureS);
		const durationS: Range = [run.longestSureS, run.toS - run.fromS];
		const flight = line.timeIs === 'sum-of-flight';
		const joinsSurely = flight || (before !== null && closeSurely(before, run, line));
		const hiddenS = run.unseenS - (before?.unseenS ?? 0);
		// What stayed unseen before it may count too, and may bridge the time between two.
		const joinsMaybe = flight || (before !== null && (hiddenS > 0 || closeMaybe(before, run, line)));
		const adds = flight || line.resetAfterS !== undefined;
		sumLo = (joinsSurely ? sumLo : 0) + (adds ? run.sureS : durationS[0]);
		sumHi = (joinsMaybe ? sumHi : 0) + durationS[1] + (adds ? hiddenS : 0);
		countLo += sure ? 1 : 0;
		countHi += mostTimes(run, all) + run.unseenTimes - (before?.unseenTimes ?? 0);
		before = run;
		const never = line.maxSeconds === 0;
		const most = line.maxCount ?? Number.POSITIVE_INFINITY;
		const proved =
			(never && line.maxCount === undefined ? sure : sumLo > line.maxSeconds + sameS && line.maxSeconds > 0) ||
			countLo > most;
		const possible =
			(never && line.maxCount === undefined) ||
			(sumHi > line.maxSeconds + sameS && line.maxSeconds > 0) ||
			countHi > most;
		return { ...described(all, run, durationS), verdict: proved ? 'proved' : possible ? 'possible' : 'within' };
	});
}

function closeSurely(before: Run, run: Run, { resetAfterS = 0 }: Line): boolean {
	return !Number.isNaN(before.lastSureS) && run.firstSureS - before.lastSureS < resetAfterS;
}

function closeMaybe(before: Run, run: Run, { resetAfterS = 0 }: Line): boolean {
	return run.fromS - before.toS < resetAfterS;
}

/**
 * Times beyond and times back alternate, none shorter than the shortest. A line that is several statements together may
 * be passed for a moment only, between two times of the shortest in which one of them fails.
 */
function mostTimes({ fromS, toS, longestSureS }: Run, { line, shortestS }: LineRuns): number {
	const isJoint = line.between !== undefined || line.when !== undefined;
	const leastS = (isJoint ? 1 : 2) * shortestS;
	return 1 + Math.floor((toS - fromS - longestSureS) / leastS + sameS);
}

function described(
	{ parameter, line, sense, resolution }: LineRuns,
	run: Run,
	durationS: Range,
): Omit<Kept, 'verdict'> {
	const sure = !Number.isNaN(run.firstSureS);
	const least = Number.isFinite(run.proved) ? run.proved : leastBeyond(line) * sense;
	const upper = line.between?.[1];
	const furthest = Math.max(run.reach + resolution, least);
	const reach = upper === undefined ? furthest : Math.min(upper, furthest);
	return {
		parameter,
		line: line.id,
		family: line.family ?? null,
		startS: [run.fromS, sure ? run.firstSureS : run.toS],
		endS: [sure ? run.lastSureS : run.fromS, run.toS],
		durationS,
		peak: [sense * least, Number.isFinite(reach) ? sense * reach : null],
		seen: Number.isFinite(run.seen) ? sense * run.seen : null,
		reference: line.reference,
		cutByTrace: run.cutByTrace,
		phase: run.phase,
	};
}

/** The value at which the line begins: the lowest of its table. */
export function leastBeyond({ above, below, between, aboveByTable }: Line): number {
	return above ?? below ?? between?.[0] ?? Math.min(...(aboveByTable?.points ?? []).map(([, bound]) => bound));
}

/** Time and number over the whole trace, what nobody saw included in the most. */
export function totalsOf(all: LineRuns, unseenTimes: number): LineTotals {
	const { runs, sureS, mayS } = all;
	const sure = runs.filter((run) => !Number.isNaN(run.firstSureS)).length;
	const most = runs.reduce((sum, run) => sum + mostTimes(run, all), 0);
	return { timeS: [sureS, Math.max(sureS, mayS)], count: [sure, most + unseenTimes] };
}
