import { describe, expect, it } from 'vitest';
import {
	coherentGain,
	cosineSum,
	fourierTransform,
	namedPeaks,
	noiseBandwidthBins,
	type WindowName,
	welchSpectrum,
	windowOf,
} from '../src/vibration/index.js';
import { okValue, vectorRow } from './published-vectors.js';
import { normalDraws } from './seeded.js';

const file = 'vibration/signals.json';

/** Level in dB of a window's transform at a distance in bins, against its middle. */
function levelDb(window: Float64Array, bins: number): number {
	let re = 0;
	let im = 0;
	let middle = 0;
	window.forEach((w, n) => {
		re += w * Math.cos((2 * Math.PI * bins * n) / window.length);
		im += w * Math.sin((2 * Math.PI * bins * n) / window.length);
		middle += w;
	});
	return 20 * Math.log10(Math.hypot(re, im) / middle);
}

/** Highest side lobe: past the first minimum, up to 12 bins out. */
function sideLobeDb(window: Float64Array): number {
	const levels = Array.from({ length: 1200 }, (_, k) => levelDb(window, (k + 1) / 100));
	const firstMinimum = levels.findIndex(
		(level, k) => k > 0 && level < (levels[k - 1] ?? 0) && level <= (levels[k + 1] ?? level),
	);
	return Math.max(...levels.slice(firstMinimum));
}

/** Full width in bins at −3 dB. */
function width3DbBins(window: Float64Array): number {
	let low = 0;
	let high = 4;
	for (let k = 0; k < 50; k++) {
		const middle = (low + high) / 2;
		if (levelDb(window, middle) > -3) low = middle;
		else high = middle;
	}
	return 2 * low;
}

describe('windows on published figures', () => {
	interface Classic {
		readonly peak_sidelobe_dB: number;
		readonly enbw_bins: number;
		readonly bw_3dB_bins: number;
		readonly flatness_dB: number;
	}
	const classic = vectorRow<unknown, Readonly<Record<string, Classic>>>(file, 'window-heinzel-classic');
	it(
		classic.says('Hann and Hamming: side lobe 0.12 dB, noise bandwidth 1e-4, width 5e-4 bins, flatness 2e-4 dB'),
		() => {
			for (const name of ['hann', 'hamming'] as const) {
				const window = windowOf(name, 1024);
				const wanted = classic.expected[name];
				if (!wanted) throw new Error(`no figures for ${name}`);
				expect(Math.abs(noiseBandwidthBins(window) - wanted.enbw_bins)).toBeLessThan(1e-4);
				expect(Math.abs(levelDb(window, 0.5) - wanted.flatness_dB)).toBeLessThan(2e-4);
				expect(Math.abs(width3DbBins(window) - wanted.bw_3dB_bins)).toBeLessThan(5e-4);
				expect(Math.abs(sideLobeDb(window) - wanted.peak_sidelobe_dB)).toBeLessThan(0.12);
			}
		},
	);
	interface Harris {
		readonly coherent_gain: number;
		readonly enbw_bins: number;
		readonly scalloping_loss_dB: number;
		readonly highest_sidelobe_dB: number;
		readonly bw_3dB_bins: number;
	}
	const harris = vectorRow<unknown, Readonly<Record<string, Harris>>>(file, 'window-harris-table1');
	it(
		harris.says(
			"four windows within the table's rounding and its two slips (0.006, 0.006, 0.035 dB, 0.7 dB, 0.045 bins)",
		),
		() => {
			for (const name of ['rectangular', 'hann', 'hamming', 'blackman'] as const) {
				const window = windowOf(name, 1024);
				const wanted = harris.expected[name];
				if (!wanted) throw new Error(`no figures for ${name}`);
				expect(Math.abs(coherentGain(window) - wanted.coherent_gain)).toBeLessThan(0.006);
				expect(Math.abs(noiseBandwidthBins(window) - wanted.enbw_bins)).toBeLessThan(0.006);
				expect(Math.abs(-levelDb(window, 0.5) - wanted.scalloping_loss_dB)).toBeLessThan(0.035);
				expect(Math.abs(sideLobeDb(window) - wanted.highest_sidelobe_dB)).toBeLessThan(0.7);
				expect(Math.abs(width3DbBins(window) - wanted.bw_3dB_bins)).toBeLessThan(0.045);
			}
		},
	);
	interface Computed {
		readonly coherent_gain: number;
		readonly enbw_bins: number;
		readonly scalloping_dB: number;
		readonly peak_sidelobe_dB: number;
	}
	const computed = vectorRow<
		{ readonly windows: Readonly<Record<string, readonly number[]>> },
		Readonly<Record<string, Computed>>
	>(file, 'window-computed-metrics');
	it(
		computed.says(
			'six windows from their own coefficients: gain 1e-6, bandwidth 1e-5, scalloping 1e-4 dB, side lobe 0.05 dB',
		),
		() => {
			for (const [name, terms] of Object.entries(computed.inputs.windows)) {
				const wanted = computed.expected[name];
				if (!wanted) throw new Error(`no figures for ${name}`);
				const window = cosineSum(terms, 4096, 4096);
				expect(Math.abs(coherentGain(window) - wanted.coherent_gain)).toBeLessThan(1e-6);
				expect(Math.abs(noiseBandwidthBins(window) - wanted.enbw_bins)).toBeLessThan(1e-5);
				expect(Math.abs(levelDb(window, 0.5) - wanted.scalloping_dB)).toBeLessThan(1e-4);
			}
			const names: readonly (readonly [string, WindowName])[] = [
				['hann', 'hann'],
				['blackman', 'blackman'],
				['flat_top_iso18431_2', 'flat-top'],
			];
			for (const [key, name] of names) {
				expect(
					Math.abs(sideLobeDb(windowOf(name, 1024)) - (computed.expected[key]?.peak_sidelobe_dB ?? Number.NaN)),
				).toBeLessThan(0.05);
			}
		},
	);
	const symmetric = vectorRow<unknown, readonly { readonly enbw_bins?: number; readonly enbw_Hz?: number }[]>(
		file,
		'window-enbw-mathworks',
	);
	it(symmetric.says('noise bandwidth of symmetric windows (6e-5), which the core uses only on request'), () => {
		const [hamming, flat, hann] = symmetric.expected;
		const flatTop = [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368];
		expect(
			Math.abs(noiseBandwidthBins(cosineSum([0.54, 0.46], 1000, 999)) - (hamming?.enbw_bins ?? Number.NaN)),
		).toBeLessThan(6e-5);
		expect(
			Math.abs((noiseBandwidthBins(cosineSum(flatTop, 10000, 9999)) * 44100) / 10000 - (flat?.enbw_Hz ?? Number.NaN)),
		).toBeLessThan(6e-5);
		expect(
			Math.abs((noiseBandwidthBins(cosineSum([0.5, 0.5], 128, 127)) * 1000) / 128 - (hann?.enbw_Hz ?? Number.NaN)),
		).toBeLessThan(6e-5);
	});
});

describe('spectra on published figures', () => {
	interface Lines {
		readonly re: readonly number[];
		readonly im: readonly number[];
	}
	for (const id of ['fft-16-integers', 'fft-4']) {
		const row = vectorRow<{ readonly x: readonly number[] }, Lines>(file, id);
		it(row.says('lines 0 to N/2 of the transform, e^{−iωt}, not normalised (1e-10)'), () => {
			const parts = fourierTransform(row.inputs.x.length)(Float64Array.from(row.inputs.x));
			for (let k = 0; k <= row.inputs.x.length / 2; k++) {
				expect(Math.abs((parts[2 * k] ?? Number.NaN) - (row.expected.re[k] ?? Number.NaN))).toBeLessThan(1e-10);
				expect(Math.abs((parts[2 * k + 1] ?? Number.NaN) - (row.expected.im[k] ?? Number.NaN))).toBeLessThan(1e-10);
			}
		});
	}
	const half = vectorRow<
		{ readonly x: readonly number[]; readonly bin: number },
		{ readonly hann: number; readonly rectangular: number; readonly flat_top: number }
	>(file, 'scalloping-half-bin');
	it(
		half.says(
			'a tone between two lines: Hann and rectangular to 1e-6, flat-top to 2e-4 (the row uses other flat-top coefficients)',
		),
		() => {
			const x = Float64Array.from(half.inputs.x);
			const reading = (window: WindowName) => {
				const w = windowOf(window, x.length);
				const parts = fourierTransform(x.length)(x.map((value, k) => value * (w[k] ?? Number.NaN)));
				const at = 2 * half.inputs.bin;
				return (2 * Math.hypot(parts[at] ?? Number.NaN, parts[at + 1] ?? Number.NaN)) / x.length / coherentGain(w);
			};
			expect(Math.abs(reading('rectangular') - half.expected.rectangular)).toBeLessThan(1e-6);
			expect(Math.abs(reading('hann') - half.expected.hann)).toBeLessThan(1e-6);
			expect(Math.abs(reading('flat-top') - half.expected.flat_top)).toBeLessThan(2e-4);
		},
	);
});

describe('welchSpectrum and namedPeaks', () => {
	const sampleRateHz = 1024;
	const tones = Float64Array.from({ length: 16384 }, (_, k) => {
		const t = k / sampleRateHz;
		return 5 + 0.4 * Math.cos(2 * Math.PI * 26 * t) + 0.1 * Math.cos(2 * Math.PI * 101.3 * t + 1);
	});
	it('[SIG-30] reads the peak amplitude of a sine by the flat-top window within 0.2 %, on a line or between two', () => {
		const spectrum = okValue(welchSpectrum(tones, { sampleRateHz, segment: 1024, window: 'flat-top' }));
		const peaks = namedPeaks(spectrum, [], 2);
		expect(Math.abs((peaks[0]?.amplitude ?? 0) / 0.4 - 1)).toBeLessThan(0.002);
		expect(Math.abs((peaks[1]?.amplitude ?? 0) / 0.1 - 1)).toBeLessThan(0.002);
		expect(spectrum.segments).toBe(31);
	});
	it('[SIG-31] finds a tone between two lines to a twentieth of a line and names it only when it is near', () => {
		const spectrum = okValue(welchSpectrum(tones, { sampleRateHz, segment: 1024 }));
		const names = [
			{ name: 'main rotor, four per rev', frequencyHz: 26.2 },
			{ name: 'tail drive', frequencyHz: 104 },
		];
		const [first, second] = namedPeaks(spectrum, names, 2);
		expect(first).toMatchObject({ name: 'main rotor, four per rev', frequencyHz: expect.closeTo(26, 1) });
		expect(second?.name).toBeNull();
		expect(Math.abs((second?.frequencyHz ?? 0) - 101.3)).toBeLessThan(0.05);
	});
	it('[SIG-32] states white noise as the density it has (2 %, seeded) and adds up to its variance', () => {
		const normal = normalDraws(9);
		const noise = Float64Array.from({ length: 200_000 }, () => 0.3 * normal());
		const spectrum = okValue(welchSpectrum(noise, { sampleRateHz, segment: 512 }));
		const power = spectrum.density.reduce((sum, d) => sum + d, 0) * spectrum.stepHz;
		expect(Math.abs(power / 0.09 - 1)).toBeLessThan(0.02);
	});
	it('refuses a segment that is no power of two, a column shorter than it, and a missing sample by its place', () => {
		expect(welchSpectrum(tones, { sampleRateHz, segment: 1000 })).toMatchObject({ problem: { code: 'bad-segment' } });
		expect(welchSpectrum(tones.subarray(0, 100), { sampleRateHz, segment: 128 })).toMatchObject({
			problem: { code: 'too-short', found: 100 },
		});
		const gap = Float64Array.from(tones);
		gap[77] = Number.NaN;
		expect(welchSpectrum(gap, { sampleRateHz, segment: 128 })).toMatchObject({
			problem: { code: 'not-a-number', path: '$[77]' },
		});
	});
});
