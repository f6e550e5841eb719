import { chiSquareUpper } from '../../phasor/index.js';
import type { Audit, AuditAnswer } from '../answer.js';
import { learnRotor, runsInUse } from '../learn/learn.js';
import type { RotorProblem, Run } from '../model.js';
import type { JointLevel } from '../predict/level.js';
import { forecastOf } from '../predict/predict.js';
import { lookOf, scopeWords, wordsOf } from './audit-words.js';
import { type Hypothesis, hypothesesOf } from './hypotheses.js';
import { type Evidence, evidenceOf, fitOf, readingsUnder, separation } from './likelihood.js';

/** Readings closer than this many standard deviations can't be told apart. */
const sameReadingSd = 1;
/** A run this unlikely under every ordinary explanation is explained by none. */
const noneFitsTail = 5e-4;

/** An audit with the hypotheses behind its answers, for whoever wants to solve again as if one were true. */
export interface AuditedRun {
	readonly audit: Audit;
	readonly answers: readonly { readonly answer: AuditAnswer; readonly hypotheses: readonly Hypothesis[] }[];
}

/**
 * Which ordinary mistake, if any, explains the last run best: each hypothesis by the joint density of its readings under
 * what the runs before it taught. Null with fewer than two runs in use or nothing read with phase. The convention the
 * rotor began with is not questioned: it is a phase error of the table, and learned.
 */
export function auditRun(problem: RotorProblem, runs: readonly Run[] = runsInUse(problem)): AuditedRun | null {
	const last = runs.at(-1);
	const previous = runs.at(-2);
	if (!last || !previous) return null;
	const evidence = evidenceOf(problem, last.readings);
	if (evidence.channels.length === 0) return null;
	const forecast = forecastOf(learnRotor(problem, runs.slice(0, -1)));
	const settingsOf = (run: Run): number[] => problem.adjusters.map((a) => run.settings?.[a.id] ?? 0);
	const before = settingsOf(previous);
	const after = settingsOf(last);
	const judged = hypothesesOf(problem, before, after).map((hypothesis): Judged => {
		const levels = readingsUnder(forecast, Float64Array.from(before), Float64Array.from(after), hypothesis);
		const none = hypothesis.reading.act === 'unlike-any';
		return { hypothesis, levels, logDensity: logDensityOf(levels, evidence, none) };
	});
	const groups = grouped(judged, evidence);
	const weights = groups.map((group) => logSum(group.map((j) => Math.log(j.hypothesis.prior) + j.logDensity)));
	const total = logSum(weights);
	const answers = groups
		.map((group, n) => ({ group, posterior: Math.exp(weights[n]! - total) }))
		.sort((a, b) => b.posterior - a.posterior)
		.map(({ group, posterior }) => ({
			answer: answerOf(problem, group, posterior),
			hypotheses: group.map((j) => j.hypothesis),
		}));
	const best = answers[0]!.answer.ids;
	return {
		audit: {
			run: last.id,
			fits: best.includes('as-recorded'),
			best,
			answers: answers.map((a) => a.answer),
		},
		answers,
	};
}

interface Judged {
	readonly hypothesis: Hypothesis;
	readonly levels: readonly JointLevel[];
	readonly logDensity: number;
}

/** Over the mixture. For "none fits": the density a run would have that is just too unlikely as recorded. */
function logDensityOf(levels: readonly JointLevel[], evidence: Evidence, none: boolean): number {
	const limit = chiSquareUpper(evidence.seen.length, noneFitsTail);
	return logSum(
		levels.map((level) => {
			const found = fitOf(level, evidence);
			const logDensity = none ? found.logDensity + found.square / 2 - limit / 2 : found.logDensity;
			return Math.log(level.weight) + logDensity;
		}),
	);
}

function logSum(logs: readonly number[]): number {
	const most = Math.max(...logs);
	return most + Math.log(logs.reduce((sum, value) => sum + Math.exp(value - most), 0));
}

/** Hypotheses whose readings would be the same, together; "one bad value" and "none fits" foretell no reading. */
function grouped(judged: readonly Judged[], evidence: Evidence): Judged[][] {
	const groups: Judged[][] = [];
	for (const one of judged) {
		const { act } = one.hypothesis.reading;
		const alone = act === 'unrelated' || act === 'unlike-any';
		const home = alone
			? undefined
			: groups.find((group) => separation(group[0]!.levels, one.levels, evidence) < sameReadingSd);
		if (home) home.push(one);
		else groups.push([one]);
	}
	return groups;
}

function answerOf(problem: RotorProblem, group: readonly Judged[], posterior: number): AuditAnswer {
	const told = group.map(({ hypothesis }) => ({ ...hypothesis, scope: scopeWords(problem, hypothesis.scope) }));
	const unique = (items: readonly string[]): string[] => [...new Set(items)];
	return {
		ids: unique(group.map((j) => j.hypothesis.id)),
		posterior,
		words: unique(told.map(wordsOf)).join(' Or: '),
		look: unique(told.map(lookOf)).join(' '),
		scope: unique(group.flatMap((j) => j.hypothesis.scope)),
	};
}
