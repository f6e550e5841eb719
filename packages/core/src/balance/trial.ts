import type { TrialAdvice } from './answer.js';
import type { RotorProblem } from './model.js';
import { allowedSettings, isMass } from './propose/allowed.js';
import { changeWords } from './words/change-words.js';

/** Without a coefficient, about this share of a mass point's range is tried first. */
const blindShare = 0.25;

/**
 * What to try where no run has been flown, or none with phase: one mass point, enough to be seen over
 * the scatter and not so much that it could pass a limit.
 */
export function trialAdvice(problem: RotorProblem): TrialAdvice {
	const first =
		problem.adjusters.find((a) => isMass(a) && !problem.locked?.includes(a.id)) ??
		problem.adjusters.find((a) => !problem.locked?.includes(a.id));
	if (!first) {
		return { adjuster: null, from: 0, to: 0, expectedIps: null, words: 'Every adjuster is locked: measure first.' };
	}
	const known = problem.coefficients.filter((c) => c.kind === first.kind);
	const strongest = Math.max(0, ...known.map((c) => c.amplitudeIpsPerUnit * (first.scale ?? 1)));
	const limit = Math.min(...problem.channels.map((c) => c.limitIps));
	// over three times the scatter, and half a limit at most
	const wanted = Math.min(limit / 2, Math.max(limit / 4, 3 * problem.noise.sdIps));
	const found = problem.runs?.findLast((run) => run.use !== false)?.settings?.[first.id] ?? 0;
	const from = Math.min(first.max, Math.max(first.min, found));
	const size = strongest > 0 ? wanted / strongest : blindShare * (first.max - first.min);
	const others = allowedSettings(problem, first, from).filter((value) => value !== from);
	const to = others.reduce(
		(best, value) => (Math.abs(Math.abs(value - from) - size) < Math.abs(Math.abs(best - from) - size) ? value : best),
		others[0] ?? from,
	);
	const words = changeWords(first, from, to, problem.adjusters);
	return {
		adjuster: first.id,
		from,
		to,
		expectedIps: strongest > 0 ? strongest * Math.abs(to - from) : null,
		words: `Measure first as it is. Then, if a trial is needed: ${words}, and measure the same regimes again.`,
	};
}
