import type { Proposal } from '../answer.js';
import { chooseSettings } from '../choice/choose-settings.js';
import type { ChoiceProblem, ChoiceProgress } from '../choice/types.js';
import type { SolveOptions } from '../options.js';
import { jointChance } from '../predict/joint-chance.js';
import { levelsAt } from '../predict/level.js';
import type { Forecast } from '../predict/predict.js';
import { nextScatter, readingsFrom } from '../predict/reading.js';
import { choiceProblem } from './choice-problem.js';
import { proposalOf, squareSum, worstSquare } from './proposal.js';

const defaultTouches = 5;
/** Standard deviations of the prediction added to its mean; more costs flights (docs/methods/balance.md, "Caution"). */
const defaultCautionSd = 0.5;
/** Without a clock the search ends here, so that the answer never depends on the machine. */
const nodeLimit = 4e6;
/** Layouts per number of changes that `joint-chance` ranks anew. */
const rankedByChance = 24;

/** One proposal per number of changes that gains something over fewer, none included. */
export function propose(forecast: Forecast, options: SolveOptions): Proposal[] {
	const { problem, adjusters } = forecast.posterior.layout;
	const maxTouches = Math.min(problem.maxTouches ?? defaultTouches, adjusters.length);
	const byChance = problem.objective === 'joint-chance';
	const choice: ChoiceProblem = {
		...choiceProblem(forecast, problem.cautionSd ?? defaultCautionSd, maxTouches),
		keepBest: byChance ? rankedByChance : 1,
	};
	const draws = options.draws ?? 4000;
	const seed = options.seed ?? 1;
	const tell = (settings: readonly number[], lowerBound: number, proved: boolean): Proposal =>
		proposalOf({ forecast, choice, settings, lowerBound, proved, draws, seed });
	const now = choice.variables.map((v) => v.current);
	const asItIs = choice.objective === 'worst' ? worstSquare(choice, now) : squareSum(choice, now);
	const { onProgress } = options;
	const outcome = chooseSettings(choice, {
		...(options.nowMs === undefined ? {} : { nowMs: options.nowMs }),
		...(options.nowMs !== undefined && options.budgetMs !== undefined ? { budgetMs: options.budgetMs } : { nodeLimit }),
		...(options.stop === undefined ? {} : { stop: options.stop }),
		...(onProgress === undefined || byChance
			? {}
			: {
					onProgress: ({ settings, value, proved }: ChoiceProgress) => {
						if (settings !== null) onProgress(tell(settings, proved ? Math.sqrt(value) : 0, proved));
					},
				}),
	});
	// leaving everything as it is needs no search
	const proposals: Proposal[] = [tell(now, Math.sqrt(asItIs), true)];
	const told = new Set([now.join()]);
	for (const answer of outcome.byTouches) {
		if (answer.state === 'none') continue;
		const settings = byChance
			? likeliest(
					forecast,
					answer.layouts.map((l) => l.settings),
					draws,
					seed,
				)
			: answer.best.settings;
		const key = settings.join();
		if (told.has(key)) continue;
		told.add(key);
		const proposal = tell(settings, Math.sqrt(answer.lowerBound), answer.proved && !byChance);
		proposals.push(proposal);
		if (byChance) onProgress?.(proposal);
	}
	return proposals;
}

/** The layout with the greatest chance that all channels are inside their goal. */
function likeliest(
	forecast: Forecast,
	layouts: readonly (readonly number[])[],
	draws: number,
	seed: number,
): readonly number[] {
	let best = layouts[0]!;
	let bestChance = -1;
	for (const settings of layouts) {
		const levels = levelsAt(forecast.posterior, forecast.outlooks, forecast.parts, Float64Array.from(settings));
		const next = readingsFrom(levels, nextScatter(forecast.posterior, levels));
		const chance = jointChance(forecast.posterior.layout, next, draws, seed).allWithinGoal;
		if (chance > bestChance) {
			best = settings;
			bestChance = chance;
		}
	}
	return best;
}
