import type { Alternative, Proposal } from '../answer.js';
import { learnRotor } from '../learn/learn.js';
import type { RotorProblem, Run } from '../model.js';
import type { SolveOptions } from '../options.js';
import { forecastOf } from '../predict/predict.js';
import { propose } from '../propose/propose.js';
import { recommend } from '../propose/recommend.js';
import { stateOf } from '../state.js';
import { runsAsIf } from './as-if.js';
import type { AuditedRun } from './audit-run.js';

/** An explanation at least this likely is solved for beside the record. */
const worthSolving = 0.1;

/**
 * What would be recommended if the likeliest mistake had been made, while that is likely enough to matter: until people
 * decide, both stand beside each other. Null when the record stands unopposed.
 */
export function alternativeOf(
	problem: RotorProblem,
	runs: readonly Run[],
	audited: AuditedRun,
	recommended: Proposal | null,
	options: SolveOptions,
): Alternative | null {
	const rival = audited.answers.find(({ answer }) => !answer.ids.includes('as-recorded'));
	if (!rival || rival.answer.posterior < worthSolving) return null;
	const likeliest = [...rival.hypotheses].sort((a, b) => b.prior - a.prior);
	const asIf = likeliest.map((h) => runsAsIf(problem, runs, h)).find((found) => found !== null);
	if (!asIf) return null;
	const { onProgress: _, ...quiet } = options;
	const proposals = propose(forecastOf(learnRotor(problem, asIf)), quiet);
	const chosen = proposals[recommend(proposals, stateOf({ ...problem, runs: asIf }), problem.adjusters)];
	if (!chosen) return null;
	const differs = problem.adjusters.some((a) => chosen.settings[a.id] !== recommended?.settings[a.id]);
	return { ids: rival.answer.ids, proposal: chosen, differs };
}
