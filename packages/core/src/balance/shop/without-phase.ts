import { leastSquares } from '../../linear/index.js';
import { fromPolar, wrap360 } from '../../phasor/index.js';
import { fail, ok, type Result } from '../../result/index.js';
import { assertFinite } from './quantities.js';

export interface AmplitudeTrial {
	/** Where the trial mass sat, on the scale of the answer. */
	readonly angleDeg: number;
	readonly amplitude: number;
}

export interface NoPhaseTrials {
	readonly beforeAmplitude: number;
	/** Three or more positions of the same trial mass, not all on one line. */
	readonly trials: readonly AmplitudeTrial[];
	readonly trialAmount: number;
}

export interface NoPhaseCorrection {
	readonly angleDeg: number;
	/** By the size of the trial effect from the mean square of the amplitudes. */
	readonly amountFromSquares: number;
	/** By the size of the trial effect from its two components. Perfect data give the same as `amountFromSquares`. */
	readonly amountFromVector: number;
	/** Sizes of the trial effect behind the two amounts, in the unit of the amplitudes. */
	readonly effectFromSquares: number;
	readonly effectFromVector: number;
	/** effectFromSquares² − effectFromVector²: zero when the circles meet in one point. */
	readonly closureResidual: number;
	/** effectFromSquares / effectFromVector: 1 when the circles meet. */
	readonly closureRatio: number;
}

export interface NoPhaseProblem {
	/**
	 * `readings-contradict`: no trial effect could give these amplitudes. `trial-effect-too-small`: they are all alike.
	 * `too-few-positions`: fewer than needed, or all on one line. `nothing-to-balance`: the first amplitude is zero.
	 */
	readonly code: 'readings-contradict' | 'trial-effect-too-small' | 'too-few-positions' | 'nothing-to-balance';
	readonly found: number;
	readonly needed: number;
	readonly path: string;
}

/**
 * Balance without phase from a trial mass in three or more positions: V_k² = V₀² + t² + 2·V₀·(x·cos θ_k + y·sin θ_k).
 * Solved for t², x and y; t and hypot(x, y) are two estimates of one thing, and their difference is the closure residual.
 * Amplitudes ≥ 0 in one unit; more than three positions are fitted by least squares.
 * Source: the four-run method; checked against readings of D. Shreve, "Balancing Without Phase".
 */
export function correctionWithoutPhase(input: NoPhaseTrials): Result<NoPhaseCorrection, NoPhaseProblem> {
	const { beforeAmplitude, trials, trialAmount } = input;
	for (const value of [beforeAmplitude, trialAmount, ...trials.flatMap(Object.values)])
		assertFinite('amplitudes and angles', value);
	if (!(beforeAmplitude > 0))
		return fail({ code: 'nothing-to-balance', found: beforeAmplitude, needed: 0, path: '$.beforeAmplitude' });
	const design = trials.map(({ angleDeg }) => {
		const turn = fromPolar(2 * beforeAmplitude, angleDeg);
		return [1, turn.re, turn.im];
	});
	const fit = leastSquares(
		design,
		trials.map(({ amplitude }) => amplitude ** 2 - beforeAmplitude ** 2),
	);
	if (!fit.ok) return fail({ code: 'too-few-positions', found: trials.length, needed: 3, path: '$.trials' });
	const [squared = 0, x = 0, y = 0] = fit.value.coefficients;
	if (!(squared > 0)) return fail({ code: 'readings-contradict', found: squared, needed: 0, path: '$.trials' });
	const effectFromSquares = Math.sqrt(squared);
	const effectFromVector = Math.hypot(x, y);
	// below a millionth of the first reading the direction is rounding
	const smallest = beforeAmplitude * 1e-6;
	if (effectFromVector < smallest)
		return fail({ code: 'trial-effect-too-small', found: effectFromVector, needed: smallest, path: '$.trials' });
	return ok({
		angleDeg: wrap360((Math.atan2(y, x) * 180) / Math.PI + 180),
		amountFromSquares: (trialAmount * beforeAmplitude) / effectFromSquares,
		amountFromVector: (trialAmount * beforeAmplitude) / effectFromVector,
		effectFromSquares,
		effectFromVector,
		closureResidual: squared - effectFromVector ** 2,
		closureRatio: effectFromSquares / effectFromVector,
	});
}

export interface OppositeTrials {
	readonly beforeAmplitude: number;
	/** Position of the first trial; the second is opposite. */
	readonly firstAngleDeg: number;
	readonly firstAmplitude: number;
	readonly oppositeAmplitude: number;
	readonly trialAmount: number;
}

export interface MirrorCandidates {
	readonly amount: number;
	readonly effect: number;
	/** Both fit equally well; a third position tells them apart. One angle when the two mirror images coincide. */
	readonly candidatesDeg: readonly number[];
	/** Where a third trial tells the candidates apart best. */
	readonly thirdTrialDeg: number;
}

/**
 * Two opposite positions without phase: t² = (V₁² + V₂²)/2 − V₀² and cos φ = (V₁² − V₂²)/(4·V₀·t).
 * The sign of φ stays open, so there are two mirror answers; never one of them alone.
 * Source: the four-circle method cut to three runs (common practice).
 */
export function mirrorCandidates(input: OppositeTrials): Result<MirrorCandidates, NoPhaseProblem> {
	for (const value of Object.values(input)) assertFinite('amplitudes and angles', value);
	const { beforeAmplitude, firstAngleDeg, firstAmplitude, oppositeAmplitude, trialAmount } = input;
	if (!(beforeAmplitude > 0))
		return fail({ code: 'nothing-to-balance', found: beforeAmplitude, needed: 0, path: '$.beforeAmplitude' });
	const squared = (firstAmplitude ** 2 + oppositeAmplitude ** 2) / 2 - beforeAmplitude ** 2;
	if (!(squared > 0))
		return fail({ code: 'readings-contradict', found: squared, needed: 0, path: '$.oppositeAmplitude' });
	const effect = Math.sqrt(squared);
	const cosine = (firstAmplitude ** 2 - oppositeAmplitude ** 2) / (4 * beforeAmplitude * effect);
	// rounding alone may carry a mass that lies exactly on the line a hair beyond 1
	if (Math.abs(cosine) > 1 + 1e-9)
		return fail({ code: 'readings-contradict', found: Math.abs(cosine), needed: 1, path: '$.oppositeAmplitude' });
	const apartDeg = (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI;
	const candidates = [wrap360(firstAngleDeg + 180 - apartDeg), wrap360(firstAngleDeg + 180 + apartDeg)];
	return ok({
		amount: (trialAmount * beforeAmplitude) / effect,
		effect,
		candidatesDeg: [...new Set(candidates)],
		thirdTrialDeg: wrap360(firstAngleDeg + 90),
	});
}
