import {
	checkRotor,
	type Forecast,
	forecastOf,
	learnRotor,
	predict,
	type RotorProblem,
	type RotorProblemFault,
	solveRotor,
} from '@stillmast/core/balance';
import type { Result } from '@stillmast/core/result';
import type { Answered, Asked, Tried } from './messages.js';

/** Heavy work off the page's thread. The same core runs in Node; nothing is computed here that is not there. */

const draws = 4000;
const seed = 1;
/** Proof of the larger sets may take long; what is not proved by then says so. */
const budgetMs = 4000;

let learned: { readonly problem: string; readonly forecast: Forecast } | null = null;

self.onmessage = (event: MessageEvent<Asked>) => {
	const asked = event.data;
	const answer: Answered =
		asked.ask === 'solve'
			? {
					id: asked.id,
					ask: 'solve',
					answer: solveRotor(asked.problem, { seed, draws, nowMs: () => performance.now(), budgetMs }),
				}
			: { id: asked.id, ask: 'predict', answer: tried(asked.problem, asked.settings) };
	self.postMessage(answer);
};

function tried(problem: RotorProblem, settings: Readonly<Record<string, number>>): Result<Tried, RotorProblemFault> {
	const checked = checkRotor(problem);
	if (!checked.ok) return checked;
	const absolute = Float64Array.from(problem.adjusters, ({ id }) => settings[id] ?? 0);
	const { readings, joint } = predict(forecastFor(problem), absolute, draws, seed);
	return {
		ok: true,
		value: { readings, chanceAllWithinLimit: joint.allWithinLimit, chanceAllWithinGoal: joint.allWithinGoal },
	};
}

function forecastFor(problem: RotorProblem): Forecast {
	const text = JSON.stringify(problem);
	if (learned?.problem !== text) learned = { problem: text, forecast: forecastOf(learnRotor(problem)) };
	return learned.forecast;
}
