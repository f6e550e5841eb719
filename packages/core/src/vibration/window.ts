/** Windows offered. `hann` for finding peaks, `flat-top` for reading their amplitude, `rectangular` for whole cycles. */
export type WindowName = 'rectangular' | 'hann' | 'hamming' | 'blackman' | 'flat-top';

/**
 * Cosine-sum coefficients: w[n] = Σ (−1)^k·a_k·cos(2πkn/N). The flat-top is the five-term one of ISO 18431-2 (recalled),
 * whose mean is 1.
 */
const coefficients: Readonly<Record<WindowName, readonly number[]>> = {
	rectangular: [1],
	hann: [0.5, 0.5],
	hamming: [0.54, 0.46],
	blackman: [0.42, 0.5, 0.08],
	'flat-top': [1, 1.933, 1.286, 0.388, 0.0322],
};

/** The window of a name, periodic (N divisions of the circle), the form that spectra want. */
export function windowOf(name: WindowName, length: number): Float64Array {
	return cosineSum(coefficients[name], length, length);
}

/** A cosine-sum window over `length` points; `period` is `length` for the periodic form and `length − 1` for the symmetric one. */
export function cosineSum(terms: readonly number[], length: number, period: number): Float64Array {
	return Float64Array.from({ length }, (_, n) =>
		terms.reduce((sum, a, k) => sum + (k % 2 === 0 ? a : -a) * Math.cos((2 * Math.PI * k * n) / period), 0),
	);
}

/** Mean of the window: what it multiplies the amplitude of a sine by. */
export function coherentGain(window: Float64Array): number {
	return window.reduce((sum, w) => sum + w, 0) / window.length;
}

/** Equivalent noise bandwidth in bins: N·Σw²/(Σw)². */
export function noiseBandwidthBins(window: Float64Array): number {
	const sum = window.reduce((total, w) => total + w, 0);
	return (window.length * window.reduce((total, w) => total + w * w, 0)) / sum ** 2;
}
