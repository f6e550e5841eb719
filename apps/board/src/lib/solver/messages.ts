import type { PredictedReading, Proposals, RotorProblem, RotorProblemFault } from '@stillmast/core/balance';
import type { Result } from '@stillmast/core/result';

/** What the page asks of the solver's worker; answers carry the same number. */
export type Asked =
	| { readonly id: number; readonly ask: 'solve'; readonly problem: RotorProblem }
	| {
			readonly id: number;
			readonly ask: 'predict';
			readonly problem: RotorProblem;
			/** Absolute, by adjuster id. */
			readonly settings: Readonly<Record<string, number>>;
	  };

export interface Tried {
	readonly readings: Readonly<Record<string, PredictedReading>>;
	readonly chanceAllWithinLimit: number;
	readonly chanceAllWithinGoal: number;
}

export type Answered =
	| { readonly id: number; readonly ask: 'solve'; readonly answer: Result<Proposals, RotorProblemFault> }
	| { readonly id: number; readonly ask: 'predict'; readonly answer: Result<Tried, RotorProblemFault> };
