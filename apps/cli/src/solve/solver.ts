import type { Proposals, RotorProblem, RotorProblemFault, SolveOptions } from '@stillmast/core/balance';
import type { Result } from '@stillmast/core/result';

/** The balance solver as the verb calls it. */
export type Solver = (problem: RotorProblem, options: SolveOptions) => Result<Proposals, RotorProblemFault>;

export interface Solved {
	readonly problem: RotorProblem;
	readonly proposals: Proposals;
}
