import type { RotorProblem, Run } from '../model.js';
import { firstLooks, fittedLevels } from './first-looks.js';
import { type Fit, type FitStart, fitUnknowns } from './fit.js';
import { keptPriors } from './kept-priors.js';
import { layOut, type RotorLayout } from './layout.js';
import { type Scatter, scatterAt } from './noise.js';
import type { Member, Posterior } from './posterior.js';
import { errorPrior } from './prior.js';
import { planUnknowns, type UnknownPlan } from './unknowns.js';

/** Sizes of the table's error against what is stated, and how likely each is beforehand (docs/methods/balance.md). */
const errorScales = [0.4, 0.65, 1, 1.5, 2.2] as const;
const errorScaleWeights = [0.06, 0.17, 0.37, 0.25, 0.15] as const;
/** Sizes of the remainder against the median goal, sd per axis. */
const remainderScales = [0.08, 0.2, 0.5, 1.2] as const;
const remainderWeights = [0.3, 0.3, 0.25, 0.15] as const;

/** The order in which the error sizes are tried: the stated one, then outward. */
const likelyFirst = [2, 1, 3, 0, 4] as const;
/** Natural logs below the best that end a row of the grid. */
const hopeless = 6;

/** Members lighter than this against the likeliest change no shown digit. */
const lightest = 0.01;

/**
 * Learns this rotor from the runs given, in order (design of the estimator: docs/methods/balance.md). The problem is
 * taken as checked (`checkRotor`). With no runs the answer is the prior.
 */
export function learnRotor(problem: RotorProblem, runs: readonly Run[] = runsInUse(problem)): Posterior {
	const reset = runs.findLastIndex((run, r) => r > 0 && run.workSince === 'rotor-part');
	if (reset < 0) return learnStretch(problem, runs);
	const before = learnRotor(problem, runs.slice(0, reset));
	return learnStretch({ ...problem, priors: keptPriors(before) }, runs.slice(reset));
}

/** Runs with no work on the rotor between them. */
function learnStretch(problem: RotorProblem, runs: readonly Run[]): Posterior {
	const layout = layOut(problem, runs);
	const plan = planUnknowns(layout);
	const remainderSds = remainderScales.map((scale) => scale * medianGoal(problem));
	const looks = firstLooks(layout, plan, remainderSds[1]!);
	// levels behind the readings: a low reading is not a better one
	const scatter = scatterAt(layout, fittedLevels(layout, looks[0]!));
	// where no phase was ever read the answer is several at once; then the stated error size has to do
	const scales = looks.length === 1 ? likelyFirst : likelyFirst.slice(0, 1);
	const fits = looks.flatMap((look) => fitSizes(layout, plan, scatter, look, scales, remainderSds));
	return { layout, plan, members: weigh(fits) };
}

interface Weighed {
	readonly fit: Fit;
	readonly log: number;
}

/** Fits for every pair of error size and remainder size that is not hopeless, about one first look. */
function fitSizes(
	layout: RotorLayout,
	plan: UnknownPlan,
	scatter: Scatter,
	look: Fit,
	scales: readonly number[],
	remainderSds: readonly number[],
): Weighed[] {
	const settled = { global: look.global.slice(), local: look.local };
	for (let m = 0; m < layout.kinds.length; m++) settled.global.fill(0, plan.faultAt(m), plan.faultAt(m) + 2);
	const fits: Weighed[] = [];
	let best = Number.NEGATIVE_INFINITY;
	for (const i of scales) {
		const prior = errorPrior(layout, errorScales[i]!, look.values.fault);
		let before = Number.NEGATIVE_INFINITY;
		let start: FitStart = settled;
		for (const [n, remainderSd] of remainderSds.entries()) {
			const found = fitUnknowns(layout, plan, scatter, prior, remainderSd, start, 5);
			start = found;
			const log = found.logEvidence + Math.log(errorScaleWeights[i]! * remainderWeights[n]!);
			fits.push({ fit: found, log });
			best = Math.max(best, log);
			// evidence falls on either side of its peak: larger remainders will not come back
			if (n > 0 && log < before && log < best - hopeless) break;
			before = log;
		}
		// all kinds of a fleet: there is nothing to rescale
		if (prior.rescaled.every((r) => r === 0)) break;
	}
	return fits;
}

export function runsInUse(problem: RotorProblem): readonly Run[] {
	return (problem.runs ?? []).filter((run) => run.use !== false);
}

function weigh(fits: readonly { readonly fit: Fit; readonly log: number }[]): Member[] {
	const best = Math.max(...fits.map((f) => f.log));
	const raw = fits.map((f) => ({ fit: f.fit, weight: Math.exp(f.log - best) })).filter((m) => m.weight >= lightest);
	const total = raw.reduce((sum, m) => sum + m.weight, 0);
	return raw.map((m) => ({ fit: m.fit, weight: m.weight / total })).sort((a, b) => b.weight - a.weight);
}

export function medianGoal(problem: RotorProblem): number {
	const goals = problem.channels.map((c) => c.goalIps ?? c.limitIps).sort((a, b) => a - b);
	return goals[Math.floor(goals.length / 2)] ?? 0.1;
}
