import type { InspectFlag, LearnedKind, Proposal } from '../answer.js';
import type { RotorProblem, Run } from '../model.js';
import type { Unreachable } from './unreachable.js';

/** Defaults of the flags; the type's own figures override them (`inspectAt`, docs/rules/balance.md). */
const defaults = { gainLow: 0.4, gainHigh: 2.5, tabDeg: 4, trackHookMm: 75, scatterRatio: 3, soonHours: 10 };
/** How sure it must be that some channel stays over its limit whatever is set. */
const sureUnreachable = 0.9;

export interface InspectInput {
	readonly problem: RotorProblem;
	readonly runs: readonly Run[];
	readonly learned: readonly LearnedKind[];
	readonly unreachable: Unreachable;
	readonly recommended: Proposal | null;
}

/** What asks for an inspection by approved data before any more adjusting. A flag says what it saw, not what is broken. */
export function inspectFlags(input: InspectInput): InspectFlag[] {
	return [
		...gainFlags(input),
		...demandFlags(input),
		...trackFlags(input),
		...scatterFlags(input),
		...soonFlags(input),
		...unreachableFlags(input),
		...worseFlags(input),
	];
}

type Limits = typeof defaults;

function limitsOf(problem: RotorProblem): Limits {
	const { settingByKind: _, ...stated } = problem.inspectAt ?? {};
	const given = Object.entries(stated).filter(([, value]) => value !== undefined);
	return { ...defaults, ...Object.fromEntries(given) };
}

function gainFlags({ problem, learned }: InspectInput): InspectFlag[] {
	const { gainLow, gainHigh } = limitsOf(problem);
	return learned
		.filter((kind) => kind.gain95[1] < gainLow || kind.gain95[0] > gainHigh)
		.map((kind) => ({
			code: 'gain-far-from-table',
			subject: kind.kind,
			found: kind.gain,
			limit: kind.gain < 1 ? gainLow : gainHigh,
			words: `A ${kind.kind} moves the reading ${kind.gain.toFixed(1)} times as much as the table says.`,
		}));
}

function demandFlags({ problem, recommended }: InspectInput): InspectFlag[] {
	const { tabDeg } = limitsOf(problem);
	return problem.adjusters.flatMap((a): InspectFlag[] => {
		const size = Math.abs(recommended?.settings[a.id] ?? 0);
		const stated = problem.inspectAt?.settingByKind?.[a.kind];
		const limit = stated ?? (a.kind === 'tab' ? tabDeg : Number.POSITIVE_INFINITY);
		if (size <= limit) return [];
		return [
			{
				code: a.kind === 'tab' ? 'tab-demand' : 'setting-demand',
				subject: a.id,
				found: size,
				limit,
				words: `${a.id} would need ${size} ${a.unit}, more than ${limit}.`,
			},
		];
	});
}

/** Heights of each blade over the mean, hover against every other regime of the last run that has track. */
function trackFlags({ problem, runs }: InspectInput): InspectFlag[] {
	const { trackHookMm } = limitsOf(problem);
	const track = runs.findLast((run) => run.track !== undefined)?.track ?? {};
	const hover = Object.keys(track).find((regime) => regime.toLowerCase().includes('hover'));
	if (hover === undefined) return [];
	return Object.keys(track).flatMap((regime): InspectFlag[] => {
		const hook = problem.rotor.blades.map((b) => {
			return Math.abs((track[regime]?.[b.id] ?? Number.NaN) - (track[hover]?.[b.id] ?? Number.NaN));
		});
		const largest = Math.max(0, ...hook.filter((value) => Number.isFinite(value)));
		if (largest <= trackHookMm) return [];
		const words = `A blade's track moves ${largest.toFixed(0)} mm from ${hover} to ${regime}.`;
		return [{ code: 'track-hook', subject: regime, found: largest, limit: trackHookMm, words }];
	});
}

function scatterFlags({ problem, runs }: InspectInput): InspectFlag[] {
	const type = problem.noise.withinSdIps;
	const last = runs.at(-1);
	if (type === undefined || type <= 0 || !last) return [];
	const limit = limitsOf(problem).scatterRatio * type;
	return Object.entries(last.readings).flatMap(([channel, reading]): InspectFlag[] => {
		const found = reading.sdIps ?? 0;
		if (found <= limit) return [];
		const words = `${channel} scatters ${(found / type).toFixed(1)} times as much as the type does.`;
		return [{ code: 'scatter-grown', subject: channel, found, limit, words }];
	});
}

function ratioToGoal(problem: RotorProblem, run: Run): number {
	return Math.max(
		0,
		...problem.channels.map((c) => (run.readings[c.id]?.amplitudeIps ?? 0) / (c.goalIps ?? c.limitIps)),
	);
}

function soonFlags({ problem, runs }: InspectInput): InspectFlag[] {
	const last = runs.at(-1);
	if (!last || last.hoursH === undefined) return [];
	const { soonHours } = limitsOf(problem);
	const good = runs.slice(0, -1).findLast((run) => run.hoursH !== undefined && ratioToGoal(problem, run) <= 1);
	if (!good) return [];
	const since = last.hoursH - good.hoursH!;
	const over = problem.channels.find((c) => (last.readings[c.id]?.amplitudeIps ?? 0) > c.limitIps);
	if (!over || since > soonHours) return [];
	const words = `${over.id} is over its limit ${since.toFixed(1)} h after a result inside goal.`;
	return [{ code: 'out-again-soon', subject: over.id, found: since, limit: soonHours, words }];
}

function unreachableFlags({ problem, unreachable }: InspectInput): InspectFlag[] {
	if (unreachable.chanceOverLimit < sureUnreachable) return [];
	const worst = problem.channels.reduce((a, b) =>
		(unreachable.chanceOverByChannel[b.id] ?? 0) > (unreachable.chanceOverByChannel[a.id] ?? 0) ? b : a,
	);
	const found = unreachable.byChannel[worst.id]?.amplitudeIps ?? 0;
	const words = `No allowed change brings every channel inside; ${worst.id} keeps about ${found.toFixed(2)} ips.`;
	return [{ code: 'unreachable-over-limit', subject: worst.id, found, limit: worst.limitIps, words }];
}

function worseFlags({ problem, runs }: InspectInput): InspectFlag[] {
	const last = runs.slice(-3);
	if (last.length < 3) return [];
	const ratios = last.map((run) => ratioToGoal(problem, run));
	const changed = (a: Run, b: Run): boolean =>
		problem.adjusters.some((x) => (a.settings?.[x.id] ?? 0) !== (b.settings?.[x.id] ?? 0));
	const worse = ratios[1]! > ratios[0]! && ratios[2]! > ratios[1]!;
	if (!worse || !changed(last[0]!, last[1]!) || !changed(last[1]!, last[2]!)) return [];
	const words = 'Two changes in a row made the worst reading larger.';
	return [{ code: 'worse-twice', subject: last[2]!.id, found: ratios[2]!, limit: ratios[0]!, words }];
}
