import type { Proposal } from '../answer.js';
import { chooseSettings } from '../choice/choose-settings.js';
import type { ChoiceForTouches, ChoiceOptions, ChoiceProblem, ChoiceProgress } from '../choice/types.js';
import type { SolveOptions } from '../options.js';
import { jointChance } from '../predict/joint-chance.js';
import { levelsAt } from '../predict/level.js';
import type { Forecast } from '../predict/predict.js';
import { nextScatter, readingsFrom } from '../predict/reading.js';
import { choiceProblem } from './choice-problem.js';
import { fitPieces, sharesPieces } from './pieces.js';
import { proposalOf, squareSum, worstSquare } from './proposal.js';

const defaultTouches = 5;
/** Standard deviations of the prediction added to its mean; more costs flights (docs/methods/balance.md, "Caution"). */
const defaultCautionSd = 0.5;
/** Without a clock the search ends here, so that the answer never depends on the machine. */
const nodeLimit = 4e6;
/** Layouts per number of changes that `joint-chance` ranks anew, and shared pieces are looked for in at first. */
const rankedByChance = 24;
/** Layouts looked through for one the pieces suffice for. */
const mostKept = 1536;

/** One proposal per number of changes that gains something over fewer, none included. */
export function propose(forecast: Forecast, options: SolveOptions): Proposal[] {
	const { problem, adjusters } = forecast.posterior.layout;
	const maxTouches = Math.min(problem.maxTouches ?? defaultTouches, adjusters.length);
	const byChance = problem.objective === 'joint-chance';
	const shared = sharesPieces(adjusters);
	const choice: ChoiceProblem = {
		...choiceProblem(forecast, problem.cautionSd ?? defaultCautionSd, maxTouches),
		keepBest: byChance || shared ? rankedByChance : 1,
	};
	const draws = options.draws ?? 4000;
	const seed = options.seed ?? 1;
	const tell = (settings: readonly number[], lowerBound: number, proved: boolean): Proposal =>
		proposalOf({ forecast, choice, settings, lowerBound, proved, draws, seed });
	const now = choice.variables.map((v) => v.current);
	const asItIs = choice.objective === 'worst' ? worstSquare(choice, now) : squareSum(choice, now);
	const { onProgress } = options;
	const byTouches = choose(choice, shared ? (settings) => fitPieces(adjusters, settings) !== null : null, {
		...(options.nowMs === undefined ? {} : { nowMs: options.nowMs }),
		...(options.nowMs !== undefined && options.budgetMs !== undefined ? { budgetMs: options.budgetMs } : { nodeLimit }),
		...(options.stop === undefined ? {} : { stop: options.stop }),
		...(onProgress === undefined || byChance || shared
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
	for (const answer of byTouches) {
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
		if (byChance || shared) onProgress?.(proposal);
	}
	return proposals;
}

/**
 * The best layouts per number of touches among those the pieces suffice for: what does not is passed over, and more of
 * the next best are asked for until one does. Exact while the list is: all that is better is then known to lack pieces.
 */
function choose(
	problem: ChoiceProblem,
	suffices: ((settings: readonly number[]) => boolean) | null,
	options: ChoiceOptions,
): readonly ChoiceForTouches[] {
	const { byTouches } = chooseSettings(problem, options);
	if (suffices === null) return byTouches;
	const keepBest = problem.keepBest ?? 1;
	const sifted = byTouches.map((answer): { readonly answer: ChoiceForTouches; readonly open: boolean } => {
		if (answer.state === 'none') return { answer, open: false };
		const layouts = answer.layouts.filter(({ settings }) => suffices(settings));
		const { touches, nodes, proved } = answer;
		const best = layouts[0];
		if (best === undefined) {
			const all = answer.layouts.length < keepBest;
			const none = { state: 'none', touches, lowerBound: answer.lowerBound, proved: proved && all, nodes } as const;
			return { answer: none, open: !all };
		}
		const lowerBound = proved ? best.value : answer.lowerBound;
		const gap = best.value > 0 ? (best.value - lowerBound) / best.value : 0;
		return { answer: { ...answer, best, layouts, lowerBound, gap }, open: false };
	});
	if (sifted.every(({ open }) => !open) || keepBest >= mostKept) return sifted.map(({ answer }) => answer);
	return choose({ ...problem, keepBest: Math.min(mostKept, 8 * keepBest) }, suffices, options);
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
