import { add, type Complex, divide, magnitude, multiply, negate, subtract } from '../../phasor/index.js';
import { fail, ok, type Result } from '../../result/index.js';
import {
	type AngleSense,
	assertFinite,
	massOf,
	phasorOf,
	phasorOfMass,
	readingOf,
	type ShopMass,
	type ShopReading,
} from './quantities.js';

/** Two readings taken together, one at each bearing. */
export interface BearingPair {
	readonly a: ShopReading;
	readonly b: ShopReading;
}

/** Change at bearings a and b per unit of mass at angle 0 in the left and the right plane. */
export interface TwoPlaneInfluence {
	readonly aLeft: Complex;
	readonly aRight: Complex;
	readonly bLeft: Complex;
	readonly bRight: Complex;
}

export interface TwoPlaneProblem {
	/**
	 * `planes-alike`: both planes act on both bearings in the same proportion, so they cannot be told apart
	 * (found: |determinant| over the sum of its two products). `no-trial-mass`: a trial weighs nothing.
	 */
	readonly code: 'planes-alike' | 'no-trial-mass';
	readonly found: number;
	readonly needed: number;
	readonly path: string;
}

export interface TwoPlaneCorrection {
	readonly left: ShopMass;
	readonly right: ShopMass;
	/** What is left by the same coefficients; zero but for rounding, a check of the arithmetic. */
	readonly remaining: BearingPair;
}

/** The share of the determinant below which two planes are taken to be the same one. */
const smallestDeterminantShare = 1e-9;

/** Influence of one mass on one reading: (with − before)/mass. Null when the mass weighs nothing. */
export function influenceOf(
	before: ShopReading,
	withMass: ShopReading,
	mass: ShopMass,
	sense: AngleSense,
): Complex | null {
	if (!(mass.amount > 0)) return null;
	return divide(subtract(phasorOf(withMass), phasorOf(before)), phasorOfMass(mass, sense));
}

/**
 * Influence coefficients of two planes from one trial in each, the left trial taken off before the right one goes on.
 * Problem `no-trial-mass`.
 */
export function twoPlaneInfluence(
	before: BearingPair,
	leftTrial: { readonly mass: ShopMass; readonly readings: BearingPair },
	rightTrial: { readonly mass: ShopMass; readonly readings: BearingPair },
	sense: AngleSense,
): Result<TwoPlaneInfluence, TwoPlaneProblem> {
	const aLeft = influenceOf(before.a, leftTrial.readings.a, leftTrial.mass, sense);
	const bLeft = influenceOf(before.b, leftTrial.readings.b, leftTrial.mass, sense);
	if (!aLeft || !bLeft)
		return fail({ code: 'no-trial-mass', found: leftTrial.mass.amount, needed: 0, path: '$.leftTrial.mass' });
	const aRight = influenceOf(before.a, rightTrial.readings.a, rightTrial.mass, sense);
	const bRight = influenceOf(before.b, rightTrial.readings.b, rightTrial.mass, sense);
	if (!aRight || !bRight)
		return fail({ code: 'no-trial-mass', found: rightTrial.mass.amount, needed: 0, path: '$.rightTrial.mass' });
	return ok({ aLeft, aRight, bLeft, bRight });
}

/**
 * The two corrections that bring both bearings to zero: the 2 × 2 complex system H·W = −V₀.
 * Trials are taken off. Problem `planes-alike`.
 * Source: S. S. Rao, "Mechanical Vibrations", ch. 9 (from memory).
 */
export function twoPlaneCorrection(
	before: BearingPair,
	influence: TwoPlaneInfluence,
	sense: AngleSense,
): Result<TwoPlaneCorrection, TwoPlaneProblem> {
	const { aLeft, aRight, bLeft, bRight } = influence;
	for (const { re, im } of [aLeft, aRight, bLeft, bRight]) assertFinite('an influence coefficient', re + im);
	const direct = multiply(aLeft, bRight);
	const crossed = multiply(aRight, bLeft);
	const determinant = subtract(direct, crossed);
	const size = magnitude(direct) + magnitude(crossed);
	const share = size > 0 ? magnitude(determinant) / size : 0;
	if (!(share > smallestDeterminantShare))
		return fail({ code: 'planes-alike', found: share, needed: smallestDeterminantShare, path: '$.influence' });
	const a = phasorOf(before.a);
	const b = phasorOf(before.b);
	const left = divide(subtract(multiply(aRight, b), multiply(bRight, a)), determinant);
	const right = divide(subtract(multiply(bLeft, a), multiply(aLeft, b)), determinant);
	return ok({
		left: massOf(left, sense),
		right: massOf(right, sense),
		remaining: {
			a: readingOf(add(a, add(multiply(aLeft, left), multiply(aRight, right)))),
			b: readingOf(add(b, add(multiply(bLeft, left), multiply(bRight, right)))),
		},
	});
}

/** A known unbalance (mass times radius, any one unit) at a place along the shaft. */
export interface PlacedMass extends ShopMass {
	readonly positionMm: number;
}

/**
 * Corrections in two planes for known unbalances: each is shared between the planes by the lever rule, so that force and
 * couple both vanish. Masses may lie outside the planes. Problem `planes-alike` when the planes coincide.
 */
export function balanceKnownMasses(
	masses: readonly PlacedMass[],
	firstPlaneMm: number,
	secondPlaneMm: number,
): Result<{ readonly first: ShopMass; readonly second: ShopMass }, TwoPlaneProblem> {
	const span = secondPlaneMm - firstPlaneMm;
	if (span === 0) return fail({ code: 'planes-alike', found: 0, needed: 0, path: '$.secondPlaneMm' });
	let atFirst: Complex = { re: 0, im: 0 };
	let atSecond: Complex = { re: 0, im: 0 };
	for (const mass of masses) {
		const whole = phasorOfMass(mass, 'same');
		const share = (mass.positionMm - firstPlaneMm) / span;
		atSecond = add(atSecond, { re: whole.re * share, im: whole.im * share });
		atFirst = add(atFirst, { re: whole.re * (1 - share), im: whole.im * (1 - share) });
	}
	return ok({ first: massOf(negate(atFirst), 'same'), second: massOf(negate(atSecond), 'same') });
}
