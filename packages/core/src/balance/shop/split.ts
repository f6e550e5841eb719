import { wrap180 } from '../../phasor/index.js';
import { fail, ok, type Result } from '../../result/index.js';
import { assertFinite, type ShopMass } from './quantities.js';

export interface Split {
	readonly first: ShopMass;
	readonly second: ShopMass;
}

export interface SplitProblem {
	/**
	 * `points-in-line`: the two points lie on one line through the hub (found and needed: sine of the angle between).
	 * `would-need-removal`: the target is outside the two points; one of the amounts found is negative.
	 */
	readonly code: 'points-in-line' | 'would-need-removal';
	readonly found: number | { readonly firstAmount: number; readonly secondAmount: number };
	readonly needed: number;
	readonly path: string;
}

/** Sine of a tenth of a degree: two points nearer to one line than any shop can place a mass. */
const smallestSine = Math.sin((0.1 * Math.PI) / 180);

/** An amount below this share of the target is rounding, and is none. */
const roundingShare = 1e-12;

/**
 * Splits one correction between two allowed points by the sine rule: m_a = W·sin(b − θ)/sin(b − a), m_b = W·sin(θ − a)/sin(b − a).
 * @param mayRemove true when mass can also be taken off at these points: a negative amount is then an answer
 * Source: sine rule (common practice); when it cannot be done: W. C. Foiles, "Weight Splitting into More Than Two Location".
 */
export function splitBetweenTwo(
	target: ShopMass,
	firstAngleDeg: number,
	secondAngleDeg: number,
	mayRemove = false,
): Result<Split, SplitProblem> {
	for (const value of [target.amount, target.angleDeg, firstAngleDeg, secondAngleDeg])
		assertFinite('amounts and angles', value);
	const between = sine(secondAngleDeg - firstAngleDeg);
	if (Math.abs(between) < smallestSine)
		return fail({ code: 'points-in-line', found: Math.abs(between), needed: smallestSine, path: '$.secondAngleDeg' });
	const clean = (amount: number) => (Math.abs(amount) < roundingShare * target.amount ? 0 : amount);
	const firstAmount = clean((target.amount * sine(secondAngleDeg - target.angleDeg)) / between);
	const secondAmount = clean((target.amount * sine(target.angleDeg - firstAngleDeg)) / between);
	if (!mayRemove && (firstAmount < 0 || secondAmount < 0)) {
		return fail({
			code: 'would-need-removal',
			found: { firstAmount, secondAmount },
			needed: 0,
			path: '$.target.angleDeg',
		});
	}
	return ok({
		first: { amount: firstAmount, angleDeg: firstAngleDeg },
		second: { amount: secondAmount, angleDeg: secondAngleDeg },
	});
}

function sine(angleDeg: number): number {
	const near = wrap180(angleDeg);
	return near === 180 ? 0 : Math.sin((near * Math.PI) / 180);
}
