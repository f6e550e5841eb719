import { checkChoiceOptions, checkChoiceProblem } from './check-problem.js';
import { LayoutShelf } from './layout-shelf.js';
import { type PreparedChoice, prepareChoice } from './prepared-choice.js';
import { SearchState } from './search-state.js';
import { SearchTree } from './search-tree.js';
import type { ChoiceForTouches, ChoiceOptions, ChoiceOutcome, ChoiceProblem } from './types.js';

/** Nodes for the first look at every number of touches, before any of them is searched to the end. */
const FIRST_LOOK_NODES = 2000;

interface Count {
	readonly touches: number;
	readonly shelf: LayoutShelf;
	/** What a search that was broken off left open is not below this. */
	lowerBound: number;
	proved: boolean;
	nodes: number;
}

/**
 * The best allowed settings for each number of touched adjusters, exactly: every layout that could be lower, or tie with
 * less mass, less effort or lower settings, has been walked or bounded away.
 *
 * Anytime: first every number of touches gets a short look, then each is searched to its end, few touches first; `stop`,
 * `budgetMs` and `nodeLimit` end it with the best known and the gap. That no layout meets the constraints is an answer
 * (`state: 'none'`, `proved`), not an error.
 *
 * Method: bounds by Lagrange shares over the terms (Lawson's reweighting) in the box of allowed settings, branch and bound
 * over which adjusters are touched and over their settings, Schnorr–Euchner enumeration in triangular form at the leaves.
 * @throws RangeError on numbers that are not finite, sizes that do not fit, settings that do not ascend
 */
export function chooseSettings(problem: ChoiceProblem, options: ChoiceOptions = {}): ChoiceOutcome {
	checkChoiceProblem(problem);
	checkChoiceOptions(options);
	const prepared = prepareChoice(problem);
	const counts = countsToAnswer(problem, prepared);
	const search = new Search(prepared, counts, options);
	for (const count of counts) search.run(count, FIRST_LOOK_NODES);
	for (const count of searchOrder(counts, prepared.size))
		if (!count.proved) search.run(count, Number.POSITIVE_INFINITY);
	const byTouches = counts.map(answer);
	return { byTouches, proved: counts.every((count) => count.proved), nodes: search.nodes };
}

function countsToAnswer(problem: ChoiceProblem, prepared: PreparedChoice): Count[] {
	const most = Math.min(problem.maxTouches, prepared.size);
	const asked = problem.touchCounts ?? Array.from({ length: most + 1 }, (_, touches) => touches);
	const distinct = [...new Set(asked.map((touches) => Math.min(touches, most)))].sort((a, b) => a - b);
	return distinct.map((touches) => ({
		touches,
		shelf: new LayoutShelf(prepared, problem.keepBest ?? 1),
		lowerBound: 0,
		proved: false,
		nodes: 0,
	}));
}

/**
 * Few touches first, for they are what crews choose from; over half of the adjusters the largest number goes first, because
 * its answer often needs fewer touches and then closes those between.
 */
function searchOrder(counts: readonly Count[], size: number): Count[] {
	const few = counts.filter((count) => count.touches <= size / 2);
	const many = counts.filter((count) => count.touches > size / 2);
	return [...few, ...many.slice(-1), ...many.slice(0, -1)];
}

class Search {
	private readonly prepared: PreparedChoice;
	private readonly counts: readonly Count[];
	private readonly options: ChoiceOptions;
	private readonly state: SearchState;
	private readonly startedMs: number;
	private at: Count | null = null;

	constructor(prepared: PreparedChoice, counts: readonly Count[], options: ChoiceOptions) {
		this.prepared = prepared;
		this.counts = counts;
		this.options = options;
		this.startedMs = options.nowMs?.() ?? 0;
		this.state = new SearchState(prepared, () => this.tell());
	}

	get nodes(): number {
		return this.state.nodes;
	}

	/** Searches one number of touches to its end, or until `nodes` more nodes are spent. */
	run(count: Count, nodes: number): void {
		const { state } = this;
		const before = state.nodes;
		const until = before + nodes;
		this.at = count;
		state.use(count.shelf);
		const tree = new SearchTree(this.prepared, state, () => state.nodes >= until || this.shouldStop());
		tree.run(count.touches);
		count.nodes += state.nodes - before;
		count.lowerBound = Math.max(count.lowerBound, tree.open);
		if (tree.open === Number.POSITIVE_INFINITY) count.proved = true;
		this.share(count);
		if (count.proved) this.tell();
	}

	/** Whatever is known for one number of touches is known for others: good layouts both ways, bounds downwards. */
	private share(from: Count): void {
		const list = from.shelf.layouts();
		const mostTouches = Math.max(0, ...list.map((layout) => layout.touches));
		for (const count of this.counts) {
			if (count !== from) count.shelf.offerAll(from.shelf, count.touches);
			if (count.touches >= from.touches) continue;
			count.lowerBound = Math.max(count.lowerBound, Math.min(from.lowerBound, from.shelf.lowest));
			if (from.proved && mostTouches <= count.touches) count.proved = true;
		}
	}

	private shouldStop(): boolean {
		const { nodeLimit, budgetMs, nowMs, stop } = this.options;
		if (nodeLimit !== undefined && this.state.nodes >= nodeLimit) return true;
		if (budgetMs !== undefined && nowMs !== undefined && nowMs() - this.startedMs >= budgetMs) return true;
		return stop?.() ?? false;
	}

	private tell(): void {
		const { onProgress } = this.options;
		if (onProgress === undefined || this.at === null) return;
		const { touches, shelf, proved } = this.at;
		const best = shelf.layouts()[0];
		onProgress({
			touches,
			value: best?.value ?? Number.POSITIVE_INFINITY,
			settings: best?.settings ?? null,
			proved,
			nodes: this.state.nodes,
		});
	}
}

function answer({ touches, shelf, lowerBound, proved, nodes }: Count): ChoiceForTouches {
	const layouts = shelf.layouts();
	const best = layouts[0];
	if (best === undefined) return { state: 'none', touches, lowerBound, proved, nodes };
	const bound = proved ? best.value : Math.min(lowerBound, best.value);
	const gap = best.value > 0 ? (best.value - bound) / best.value : 0;
	return { state: 'found', touches, best, layouts, lowerBound: bound, gap, proved, nodes };
}
