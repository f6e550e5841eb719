import { complexLeastSquares, type LeastSquaresProblem } from '../../linear/index.js';
import { type Complex, magnitude, negate } from '../../phasor/index.js';
import { ok, type Result } from '../../result/index.js';
import { type AngleSense, massOf, phasorOf, readingOf, type ShopMass, type ShopReading } from './quantities.js';

export interface ManyPlaneCorrection {
	/** One mass per plane. */
	readonly corrections: readonly ShopMass[];
	/** What is left at each reading by the same coefficients. */
	readonly remaining: readonly ShopReading[];
	readonly worstRemaining: number;
	/** Σ weight·|remaining|². */
	readonly weightedSquares: number;
}

/**
 * Masses in several planes for more readings than planes: min Σ wᵢ|Vᵢ + Σⱼ Hᵢⱼ·Wⱼ|².
 * @param influence one row per reading, one column per plane
 * @param weights ≥ 0, one per reading; left out means 1 each
 * Problems: `too-few-rows`, `rank-deficient`, `not-a-number`.
 * Source: T. P. Goodman, J. Eng. for Industry 86 (1964), from memory.
 */
export function leastSquaresCorrection(
	before: readonly ShopReading[],
	influence: readonly (readonly Complex[])[],
	sense: AngleSense,
	weights?: readonly number[],
): Result<ManyPlaneCorrection, LeastSquaresProblem> {
	const fit = complexLeastSquares(
		influence,
		before.map((reading) => negate(phasorOf(reading))),
		weights,
	);
	if (!fit.ok) return fit;
	// the fit leaves −V − H·W: the reading that remains is its opposite
	const remaining = fit.value.residuals.map(negate);
	return ok({
		corrections: fit.value.coefficients.map((mass) => massOf(mass, sense)),
		remaining: remaining.map(readingOf),
		worstRemaining: Math.max(...remaining.map(magnitude)),
		weightedSquares: fit.value.weightedSquares,
	});
}
