import { add, divide, magnitude, multiply, negate, subtract } from '../../phasor/index.js';
import { fail, ok, type Result } from '../../result/index.js';
import {
	type AngleSense,
	believableScatters,
	farBeyondTrialRatio,
	massOf,
	phasorOf,
	phasorOfMass,
	readingOf,
	type ShopCaution,
	type ShopMass,
	type ShopReading,
} from './quantities.js';

export interface SinglePlaneTrial {
	readonly before: ShopReading;
	readonly withTrial: ShopReading;
	readonly trial: ShopMass;
	readonly sense: AngleSense;
	/** True when the trial mass stays on: the correction is then what to add beside it. */
	readonly trialStaysOn?: boolean;
	/** Standard deviation of a reading per axis, in its own unit, when it is known from repeats. */
	readonly readingSd?: number;
}

export interface SinglePlaneCorrection {
	readonly correction: ShopMass;
	/** Change of the reading per unit of mass at angle 0. */
	readonly influence: { readonly amplitudePerUnit: number; readonly phaseDeg: number };
	/** What the trial mass alone did. */
	readonly change: ShopReading;
	/** Correction mass (trial taken off) over trial mass. */
	readonly ratioToTrial: number;
	/** Standard deviation of the correction per axis, in the unit of mass; null when `readingSd` was not given. */
	readonly correctionSd: number | null;
	readonly cautions: readonly ShopCaution[];
}

export interface TrialProblem {
	/** `trial-effect-too-small`: the trial mass did not move the reading, so nothing can be told from it. `no-trial-mass`: it weighs nothing. */
	readonly code: 'trial-effect-too-small' | 'no-trial-mass';
	readonly found: number;
	readonly needed: number;
	readonly path: string;
}

/**
 * Single-plane balance from one trial mass and no known coefficient: H = (V₁ − V₀)/W_trial, W = −V₀/H.
 * Amplitudes ≥ 0 in one unit, angles in degrees. Linear response is assumed; the answer says how far it extrapolates.
 * Problems: `no-trial-mass`, `trial-effect-too-small` (no change, or none beyond the stated scatter of one reading).
 * Source: the influence coefficient method of every textbook; checked against S. S. Rao, "Mechanical Vibrations", ch. 9.
 */
export function singlePlaneFromTrial(input: SinglePlaneTrial): Result<SinglePlaneCorrection, TrialProblem> {
	const before = phasorOf(input.before);
	const change = subtract(phasorOf(input.withTrial), before);
	const trial = phasorOfMass(input.trial, input.sense);
	const trialAmount = magnitude(trial);
	if (!(trialAmount > 0)) return fail({ code: 'no-trial-mass', found: trialAmount, needed: 0, path: '$.trial.amount' });
	const changeSize = magnitude(change);
	const scatter = input.readingSd ?? 0;
	if (!(changeSize > scatter))
		return fail({ code: 'trial-effect-too-small', found: changeSize, needed: scatter, path: '$.withTrial' });
	const influence = divide(change, trial);
	const whole = negate(divide(before, influence));
	const ratioToTrial = magnitude(whole) / trialAmount;
	const cautions: ShopCaution[] = [];
	if (ratioToTrial > farBeyondTrialRatio) cautions.push('far-beyond-the-trial');
	if (changeSize < believableScatters * scatter) cautions.push('change-near-scatter');
	return ok({
		correction: massOf(input.trialStaysOn ? subtract(whole, trial) : whole, input.sense),
		influence: { amplitudePerUnit: magnitude(influence), phaseDeg: readingOf(influence).phaseDeg },
		change: readingOf(change),
		ratioToTrial,
		correctionSd: input.readingSd === undefined ? null : correctionSd(input, trialAmount, changeSize),
		cautions,
	});
}

/** First-order: W = −V₀·W_t/(V₁ − V₀), so ∂W/∂V₀ ∝ V₁ and ∂W/∂V₁ ∝ V₀, both over the change squared. */
function correctionSd(input: SinglePlaneTrial, trialAmount: number, changeSize: number): number {
	const lever = Math.hypot(input.before.amplitude, input.withTrial.amplitude);
	return ((input.readingSd ?? 0) * trialAmount * lever) / changeSize ** 2;
}

/** What the reading will be with a mass added, by a known influence: V₀ + H·W. */
export function predictedReading(
	before: ShopReading,
	influence: { readonly amplitudePerUnit: number; readonly phaseDeg: number },
	added: ShopMass,
	sense: AngleSense,
): ShopReading {
	const effect = multiply(
		phasorOf({ amplitude: influence.amplitudePerUnit, phaseDeg: influence.phaseDeg }),
		phasorOfMass(added, sense),
	);
	return readingOf(add(phasorOf(before), effect));
}
