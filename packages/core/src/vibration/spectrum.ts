import FFT from 'fft.js';
import { fail, ok, type Result } from '../result/index.js';
import type { Samples } from './pulse-detector.js';
import { coherentGain, noiseBandwidthBins, type WindowName, windowOf } from './window.js';

export interface SpectrumSettings {
	readonly sampleRateHz: number;
	/** Samples in a segment, a power of two of 4 or more; the lines are sampleRate / segment apart. */
	readonly segment: number;
	/** `hann` unless stated. */
	readonly window?: WindowName | undefined;
}

export interface Spectrum {
	/** Distance of the lines in Hz; line k is at k·stepHz. */
	readonly stepHz: number;
	/** Peak amplitude of a sine on the line, root of the mean square over the segments. */
	readonly amplitudes: Float64Array;
	/** Power spectral density, unit² per Hz, one-sided. */
	readonly density: Float64Array;
	readonly segments: number;
	readonly window: WindowName;
	readonly noiseBandwidthHz: number;
}

export interface SpectrumProblem {
	readonly code: 'bad-segment' | 'too-short' | 'not-a-number';
	readonly found: number;
	readonly needed: number | string;
	readonly path: string;
}

/** Gives lines 0 to N/2 of a real column, real and imaginary parts in turn; valid until the next call. */
export type FourierTransform = (column: Float64Array) => Float64Array;

/** Discrete Fourier transform (e^{−iωt}, not normalised) of real columns of one power-of-two length; planned once for many. */
export function fourierTransform(length: number): FourierTransform {
	const plan = new FFT(length);
	const out = new Float64Array(2 * length);
	return (column) => {
		plan.realTransform(out, column);
		return out.subarray(0, length + 2);
	};
}

/**
 * Averaged spectrum by half-overlapping segments (Welch). The mean of each segment is taken off first, so that a steady
 * offset does not leak into the lowest lines.
 * Problems: `bad-segment` (no power of two), `too-short` (less than one segment), `not-a-number` (the place is the path).
 * Source: P. D. Welch 1967 (method, from memory); windows checked against published figures in tests/vectors/vibration.
 */
export function welchSpectrum(samples: Samples, settings: SpectrumSettings): Result<Spectrum, SpectrumProblem> {
	const { sampleRateHz, segment } = settings;
	if (!(segment >= 4 && Number.isInteger(Math.log2(segment)))) {
		return fail({ code: 'bad-segment', found: segment, needed: 'a power of two of 4 or more', path: '$.segment' });
	}
	if (samples.length < segment) return fail({ code: 'too-short', found: samples.length, needed: segment, path: '$' });
	const gap = samples.findIndex((value) => !Number.isFinite(value));
	if (gap >= 0)
		return fail({ code: 'not-a-number', found: samples[gap] as number, needed: 'a finite number', path: `$[${gap}]` });
	const name = settings.window ?? 'hann';
	const window = windowOf(name, segment);
	const lines = segment / 2 + 1;
	const squares = new Float64Array(lines);
	const transform = fourierTransform(segment);
	let segments = 0;
	for (let start = 0; start + segment <= samples.length; start += segment / 2) {
		let mean = 0;
		for (let k = 0; k < segment; k++) mean += (samples[start + k] as number) / segment;
		const parts = transform(window.map((w, k) => w * ((samples[start + k] as number) - mean)));
		for (let k = 0; k < lines; k++) {
			squares[k] = (squares[k] as number) + (parts[2 * k] as number) ** 2 + (parts[2 * k + 1] as number) ** 2;
		}
		segments++;
	}
	const stepHz = sampleRateHz / segment;
	const noiseBandwidthHz = noiseBandwidthBins(window) * stepHz;
	const gain = coherentGain(window) * segment;
	// the lowest and the highest line have no twin at negative frequency
	const twins = (k: number) => (k === 0 || k === lines - 1 ? 1 : 2);
	const amplitudes = squares.map((sum, k) => (twins(k) * Math.sqrt(sum / segments)) / gain);
	const density = squares.map((sum, k) => (twins(k) * sum) / segments / gain ** 2 / noiseBandwidthHz);
	return ok({ stepHz, amplitudes, density, segments, window: name, noiseBandwidthHz });
}
