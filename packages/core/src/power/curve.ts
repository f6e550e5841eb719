/** How a value between two printed points is read. */
export type Interpolation = 'linear' | 'monotone-cubic';

/**
 * Value of a curve at `x`, which must lie within its knots: the caller says what outside means.
 * `monotone-cubic` is the piecewise cubic Hermite curve with harmonic-mean slopes (Fritsch & Butland 1984) and one-sided
 * three-point slopes at the ends, clipped so that it never leaves the values of its neighbours (source S-31).
 * @param knots ascending, at least two
 * @param values one for each knot
 */
export function curveAt(
	knots: readonly number[],
	values: readonly number[],
	x: number,
	interpolation: Interpolation,
): number {
	const at = intervalOf(knots, x);
	const [x0, x1] = [pick(knots, at), pick(knots, at + 1)];
	const [y0, y1] = [pick(values, at), pick(values, at + 1)];
	const width = x1 - x0;
	const t = (x - x0) / width;
	// Exactly on a knot the printed number comes back, not one that rounding has touched.
	if (t === 0) return y0;
	if (t === 1) return y1;
	if (interpolation === 'linear') return y0 + (y1 - y0) * t;
	const [d0, d1] = [knotSlope(knots, values, at), knotSlope(knots, values, at + 1)];
	const rest = 1 - t;
	return y0 * rest * rest * (1 + 2 * t) + y1 * t * t * (1 + 2 * rest) + width * t * rest * (d0 * rest - d1 * t);
}

/** Slope of the monotone cubic at a knot. */
export function knotSlope(knots: readonly number[], values: readonly number[], at: number): number {
	const last = knots.length - 1;
	if (last === 1) return secant(knots, values, 0);
	if (at === 0) return endSlope(knots, values, 0, 1);
	if (at === last) return endSlope(knots, values, last - 1, last - 2);
	const [before, after] = [secant(knots, values, at - 1), secant(knots, values, at)];
	if (before * after <= 0) return 0;
	const [widthBefore, widthAfter] = [width(knots, at - 1), width(knots, at)];
	const [weightBefore, weightAfter] = [2 * widthAfter + widthBefore, widthAfter + 2 * widthBefore];
	return (weightBefore + weightAfter) / (weightBefore / before + weightAfter / after);
}

/** Three-point slope at an end from its own interval and the one beside it. */
function endSlope(knots: readonly number[], values: readonly number[], own: number, beside: number): number {
	const [ownWidth, besideWidth] = [width(knots, own), width(knots, beside)];
	const [ownSecant, besideSecant] = [secant(knots, values, own), secant(knots, values, beside)];
	const slope = ((2 * ownWidth + besideWidth) * ownSecant - ownWidth * besideSecant) / (ownWidth + besideWidth);
	if (Math.sign(slope) !== Math.sign(ownSecant)) return 0;
	const turns = Math.sign(ownSecant) !== Math.sign(besideSecant);
	return turns && Math.abs(slope) > 3 * Math.abs(ownSecant) ? 3 * ownSecant : slope;
}

/** Index of the interval that holds `x`; the last one holds its upper end too. */
function intervalOf(knots: readonly number[], x: number): number {
	let low = 0;
	let high = knots.length - 1;
	while (high - low > 1) {
		const middle = (low + high) >> 1;
		if (pick(knots, middle) <= x) low = middle;
		else high = middle;
	}
	return low;
}

function width(knots: readonly number[], at: number): number {
	return pick(knots, at + 1) - pick(knots, at);
}

function secant(knots: readonly number[], values: readonly number[], at: number): number {
	return (pick(values, at + 1) - pick(values, at)) / width(knots, at);
}

function pick(list: readonly number[], at: number): number {
	const value = list[at];
	if (value === undefined) throw new RangeError('a curve has a value for each of its knots, and two at least');
	return value;
}
