/** One estimate of a quantity that differs from tail to tail, with its own uncertainty. */
export interface Estimate {
	readonly mean: number;
	readonly sd: number;
}

export interface RandomEffects {
	/** Mean over the population, and the sd of that mean. */
	readonly mean: number;
	readonly meanSd: number;
	/** Sd of the quantity itself among the population; 0 where the estimates scatter no more than their own sds. */
	readonly amongSd: number;
}

/** An estimate this sure would stop the arithmetic, not help it. */
const leastSd = 1e-6;

/**
 * Mean and spread of a population from estimates of unequal worth, by moments: the scatter among the estimates less what
 * their own uncertainty explains. At least two estimates, sds positive.
 * Source: S-34 (DerSimonian and Laird).
 */
export function randomEffects(estimates: readonly Estimate[]): RandomEffects {
	if (estimates.length < 2) throw new RangeError(`randomEffects needs two estimates, got ${estimates.length}`);
	const variances = estimates.map(({ sd }) => Math.max(sd, leastSd) ** 2);
	const fixed = weighted(
		estimates,
		variances.map((variance) => 1 / variance),
	);
	const scatter = estimates.reduce((sum, { mean }, i) => sum + (mean - fixed.mean) ** 2 / variances[i]!, 0);
	const squares = variances.reduce((sum, variance) => sum + variance ** -2, 0);
	const excess = (scatter - (estimates.length - 1)) / (fixed.total - squares / fixed.total);
	const among = Math.max(0, excess);
	const open = weighted(
		estimates,
		variances.map((variance) => 1 / (variance + among)),
	);
	return { mean: open.mean, meanSd: Math.sqrt(1 / open.total), amongSd: Math.sqrt(among) };
}

function weighted(estimates: readonly Estimate[], weights: readonly number[]): { mean: number; total: number } {
	const total = weights.reduce((sum, weight) => sum + weight, 0);
	return { mean: estimates.reduce((sum, { mean }, i) => sum + weights[i]! * mean, 0) / total, total };
}
