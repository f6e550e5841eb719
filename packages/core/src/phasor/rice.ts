/**
 * The distribution of an amplitude |m + e| with e circular normal of `sd` per axis (Rice 1944, with ν = |m|).
 * Its upper tail is Marcum's Q of order 1: P(A > x) = Q₁(ν/sd, x/sd).
 */

/** Beyond this ν·x/sd² the series is long and the normal form is right to 1e-6. */
const farOut = 5e4;

/**
 * P(A ≤ x). `noncentrality` ν ≥ 0 and `sd` ≥ 0 in the unit of x; with sd 0 a step at ν.
 * Method: the canonical series Q₁(a,b) = e^{−(a²+b²)/2} Σ (a/b)^k I_k(ab), summed on the side that is smaller, with the
 * scaled Bessel functions from Miller's backward recurrence (Abramowitz & Stegun 9.12).
 */
export function riceCdf(x: number, noncentrality: number, sd: number): number {
	if (x <= 0) return 0;
	if (sd <= 0) return x >= noncentrality ? 1 : 0;
	const a = noncentrality / sd;
	const b = x / sd;
	if (a < 1e-12) return -Math.expm1((-b * b) / 2);
	if (b - a > 39) return 1;
	if (a - b > 39) return 0;
	if (a * b > farOut) return normalCdf(b - a - 1 / (2 * a));
	// Q(a,b) needs |a/b|<1 for a short sum; 1−Q(a,b) = e^{−(a²+b²)/2} Σ_{k≥1} (b/a)^k I_k(ab)
	return a < b ? 1 - seriesSum(a, b, a / b, 0) : seriesSum(a, b, b / a, 1);
}

/** e^{−(a−b)²/2} Σ_{k≥from} ratio^k e^{−ab} I_k(ab), ratio ≤ 1. */
function seriesSum(a: number, b: number, ratio: number, from: number): number {
	const z = a * b;
	// I₀ = 1 and I₁ = z/2 to sixteen digits; the recurrence below would divide by next to nothing
	if (z < 1e-8) return Math.exp((-a * a - b * b) / 2) * ((from === 0 ? 1 : 0) + (ratio * z) / 2);
	const terms = 12 + Math.ceil(7 * Math.sqrt(z) + 12 / (1 + z));
	// backward recurrence I_{k−1} = I_{k+1} + (2k/z) I_k, normalised by e^z = I_0 + 2 Σ I_k
	let above = 0;
	let here = 1e-280;
	let total = 0;
	let sum = 0;
	for (let k = terms; k > 0; k--) {
		const below = above + ((2 * k) / z) * here;
		total += 2 * here;
		sum = (sum + here) * ratio;
		above = here;
		here = below;
		if (here > 1e250) {
			above *= 1e-250;
			here *= 1e-250;
			total *= 1e-250;
			sum *= 1e-250;
		}
	}
	total += here;
	// sum now holds Σ_{k≥1} ratio^k I_k, here holds I_0
	const wanted = from === 0 ? sum + here : sum;
	return Math.exp(-((a - b) ** 2) / 2) * (wanted / total);
}

/** The x with P(A ≤ x) = probability, 0 < probability < 1, by bisection kept inside a bracket. */
export function riceQuantile(probability: number, noncentrality: number, sd: number): number {
	if (sd <= 0) return noncentrality;
	let low = Math.max(0, noncentrality - 9 * sd);
	let high = noncentrality + 9 * sd;
	for (let i = 0; i < 60 && high - low > 1e-12 * high; i++) {
		const middle = (low + high) / 2;
		if (riceCdf(middle, noncentrality, sd) < probability) low = middle;
		else high = middle;
	}
	return (low + high) / 2;
}

/**
 * The Rice distribution with the given mean and variance of the *squared* amplitude: exact for a circular spread,
 * and the two-moment match for one that isn't circular.
 */
export function riceFromMoments(meanSquare: number, varianceOfSquare: number): { noncentrality: number; sd: number } {
	const fourth = meanSquare * meanSquare - varianceOfSquare;
	const noncentralSquare = fourth > 0 ? Math.sqrt(fourth) : 0;
	return {
		noncentrality: Math.sqrt(noncentralSquare),
		sd: Math.sqrt(Math.max(0, (meanSquare - noncentralSquare) / 2)),
	};
}

/** Mean amplitude, by the confluent form √(π/2)·sd·L½(−ν²/2sd²) in scaled Bessel functions. */
export function riceMean(noncentrality: number, sd: number): number {
	if (sd <= 0) return noncentrality;
	const half = (noncentrality / sd) ** 2 / 4;
	if (half > 350) return noncentrality + (sd * sd) / (2 * noncentrality);
	const { i0, i1 } = scaledBessel01(half);
	return Math.sqrt(Math.PI / 2) * sd * ((1 + 2 * half) * i0 + 2 * half * i1);
}

function scaledBessel01(z: number): { i0: number; i1: number } {
	if (z < 1e-9) return { i0: 1 - z, i1: z / 2 };
	const terms = 12 + Math.ceil(7 * Math.sqrt(z) + 12 / (1 + z));
	let above = 0;
	let here = 1e-280;
	let total = 0;
	for (let k = terms; k > 0; k--) {
		const below = above + ((2 * k) / z) * here;
		total += 2 * here;
		above = here;
		here = below;
		if (here > 1e250) {
			above *= 1e-250;
			here *= 1e-250;
			total *= 1e-250;
		}
	}
	return { i0: here / (total + here), i1: above / (total + here) };
}

/** Standard normal distribution function. */
function normalCdf(z: number): number {
	return 0.5 * erfc(-z / Math.SQRT2);
}

/** Complementary error function by its Chebyshev fit in t = 1/(1+x/2), relative error below 1.2e-7 (Numerical Recipes 6.2). */
function erfc(x: number): number {
	const size = Math.abs(x);
	const t = 1 / (1 + size / 2);
	const fit =
		-1.26551223 +
		t *
			(1.00002368 +
				t *
					(0.37409196 +
						t *
							(0.09678418 +
								t *
									(-0.18628806 +
										t * (0.27886807 + t * (-1.13520398 + t * (1.48851587 + t * (-0.82215223 + t * 0.17087277))))))));
	const value = t * Math.exp(-size * size + fit);
	return x >= 0 ? value : 2 - value;
}
