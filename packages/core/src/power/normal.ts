/**
 * Standard normal distribution function: series about zero up to 3, continued fraction in the tails (Abramowitz & Stegun
 * 26.2.11 and 26.2.14, source S-30). Absolute error below 1e-14.
 * @param z any finite number, or ±Infinity
 */
export function normalCdf(z: number): number {
	const size = Math.abs(z);
	if (size > 38) return z < 0 ? 0 : 1;
	const density = Math.exp(-(size * size) / 2) / Math.sqrt(2 * Math.PI);
	const upper = size < 3 ? 0.5 - density * oddSeries(size) : density / tailFraction(size);
	return z < 0 ? upper : 1 - upper;
}

function oddSeries(z: number): number {
	let term = z;
	let sum = z;
	for (let k = 3; term > 1e-18 * sum; k += 2) {
		term *= (z * z) / k;
		sum += term;
	}
	return sum;
}

function tailFraction(z: number): number {
	let fraction = z;
	for (let k = 120; k >= 1; k--) fraction = z + k / fraction;
	return fraction;
}
