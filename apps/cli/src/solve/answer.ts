import type { SolveOptions } from '@stillmast/core/balance';
import { fail, ok, type Result } from '@stillmast/core/result';
import { readRotor } from '@stillmast/formats/rotor';
import { parseDocument } from '../document/read-file.js';
import type { Solved, Solver } from './solver.js';

/** From the bytes of one document to its answer: UTF-8, JSON, schema, meaning; the first fault ends it. */
export function answerTo(bytes: Uint8Array, solver: Solver, options: SolveOptions): Result<Solved> {
	const parsed = parseDocument(bytes);
	if (!parsed.ok) return parsed;
	const problem = readRotor(parsed.value);
	if (!problem.ok) return problem;
	const proposals = solver(problem.value, options);
	return proposals.ok ? ok({ problem: problem.value, proposals: proposals.value }) : fail(proposals.problem);
}

/** Whether the last run proves every channel inside its limit; channels nobody read prove nothing. */
export function isProvedInside(solved: Solved): boolean {
	return solved.proposals.state.withinLimit === true && solved.proposals.state.unread.length === 0;
}
