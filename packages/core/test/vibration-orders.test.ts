import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { angleOfDeg, magnitude, wrap180 } from '../src/phasor/index.js';
import {
	blockMean,
	orderPhasors,
	orderTable,
	RevolutionSpread,
	reachOf,
	resampleRevolution,
	synchronousAverage,
} from '../src/vibration/index.js';
import { okValue, vectorRow } from './published-vectors.js';
import { normalDraws } from './seeded.js';

const file = 'vibration/signals.json';

describe('order phasors of a revolution', () => {
	interface SingleBin {
		readonly x: readonly number[];
		readonly samples_per_revolution: number;
		readonly revolutions: number;
	}
	const bin = vectorRow<SingleBin, { readonly amplitude: number; readonly phase_lag_deg: number }>(
		file,
		'single-bin-integer-cycles',
	);
	it(
		bin.says('amplitude (1e-12) and lag (1e-9°) of once per rev, as a lag: +37.5° where the lead reads −37.5°'),
		() => {
			for (let rev = 0; rev < bin.inputs.revolutions; rev++) {
				const wave = Float64Array.from(bin.inputs.x.slice(rev * 16, rev * 16 + 16));
				const [phasor] = orderPhasors(wave, orderTable([1], 16));
				if (!phasor) throw new Error('one order in, one phasor out');
				expect(Math.abs(magnitude(phasor) - bin.expected.amplitude)).toBeLessThan(1e-12);
				expect(Math.abs(angleOfDeg(phasor) - bin.expected.phase_lag_deg)).toBeLessThan(1e-9);
			}
		},
	);
	it('[SIG-1] recovers any amplitude and lag of any order, whole or not, from even and odd numbers of points (1e-9, property)', () => {
		const angle = fc.double({ min: 0, max: 360, noNaN: true });
		const size = fc.double({ min: 0.01, max: 10, noNaN: true });
		fc.assert(
			fc.property(
				fc.integer({ min: 1, max: 8 }),
				size,
				angle,
				fc.constantFrom(64, 77, 512),
				(order, amplitude, lagDeg, points) => {
					const wave = Float64Array.from(
						{ length: points },
						(_, k) => 3 + amplitude * Math.cos((2 * Math.PI * order * k) / points - (lagDeg * Math.PI) / 180),
					);
					const [phasor] = orderPhasors(wave, orderTable([order], points));
					expect(magnitude(phasor ?? { re: 0, im: 0 }) / amplitude).toBeCloseTo(1, 9);
					expect(wrap180(angleOfDeg(phasor ?? { re: 0, im: 0 }) - lagDeg)).toBeCloseTo(0, 7);
				},
			),
		);
	});
	it('RevolutionSpread lets every sample count once: over revolutions that follow each other the phasors are the sums over the samples', () => {
		const normal = normalDraws(3);
		const samples = Float64Array.from({ length: 4000 }, normal);
		const [points, length, start] = [512, 770.37, 5.6];
		const spread = new RevolutionSpread(points, reachOf(points, length));
		const table = orderTable([1, 2.5], points, reachOf(points, length));
		const ends = { from: start, to: start + 4 * length };
		const found = [0, 0].map(() => ({ re: 0, im: 0 }));
		for (let rev = 0; rev < 4; rev++) {
			spread.take(start + rev * length, start + (rev + 1) * length);
			orderPhasors(spread.spread(samples, samples.length, 0), table).forEach((phasor, n) => {
				// two and a half turns: the next revolution begins half a turn on
				const sign = n === 1 && rev % 2 === 1 ? -1 : 1;
				found[n] = { re: found[n]!.re + (sign * phasor.re) / 4, im: found[n]!.im + (sign * phasor.im) / 4 };
			});
		}
		[1, 2.5].forEach((order, n) => {
			let [re, im] = [0, 0];
			for (let k = Math.ceil(ends.from); k <= ends.to; k++) {
				const angle = (2 * Math.PI * order * (k - start)) / length;
				re += (samples[k]! * Math.cos(angle) * 2) / (4 * length);
				im += (samples[k]! * Math.sin(angle) * 2) / (4 * length);
			}
			// only the two samples beside the very ends are weighed differently
			expect(Math.hypot(found[n]!.re - re, found[n]!.im - im)).toBeLessThan(4 / (4 * length));
		});
		expect(Number.isNaN(spread.spread(samples, 2000, 0)[points] as number)).toBe(true);
	});
	it('resampleRevolution follows a cubic exactly and gives NaN, never a guess, beyond the column', () => {
		const cubic = (t: number) => 0.01 * t ** 2 - 0.3 * t + 2;
		const samples = Float64Array.from({ length: 40 }, (_, k) => cubic(k));
		const wave = new Float64Array(16);
		resampleRevolution(samples, 0, 3.25, 33.6, wave);
		wave.forEach((value, k) => {
			expect(value).toBeCloseTo(cubic(3.25 + (k * 30.35) / 16), 10);
		});
		resampleRevolution(samples, 0, 30, 45, wave);
		expect(Number.isNaN(wave[15])).toBe(true);
		expect(wave[3]).toBeCloseTo(cubic(30 + (3 * 15) / 16), 10);
	});
});

describe('synchronousAverage', () => {
	const row = vectorRow<
		{ readonly N: readonly number[] },
		readonly { readonly N: number; readonly rms_factor: number }[]
	>(file, 'tsa-sqrtN');
	it(
		row.says(
			'noise that does not follow the rotor falls with 1/√N (within 15 %: 256 seeded points tell it to 4.4 %, 1 sd)',
		),
		() => {
			const normal = normalDraws(5);
			for (const { N, rms_factor } of row.expected) {
				const samples = Float64Array.from({ length: 257 * N + 2 }, normal);
				const revolutions = Array.from({ length: N }, (_, k) => ({ from: 1 + k * 256, to: 1 + (k + 1) * 256 }));
				const { wave } = okValue(synchronousAverage(samples, revolutions, 256));
				const rms = Math.sqrt(wave.reduce((sum, value) => sum + value * value, 0) / 256);
				expect(Math.abs(rms / rms_factor - 1)).toBeLessThan(0.15);
			}
		},
	);
	it('keeps a whole order and leaves out a revolution over a gap', () => {
		const samples = Float64Array.from({ length: 400 }, (_, k) => Math.cos((2 * Math.PI * 3 * (k - 10)) / 64));
		samples[100] = Number.NaN;
		const revolutions = [0, 1, 2, 3, 4].map((k) => ({ from: 10 + 64 * k, to: 74 + 64 * k }));
		const average = okValue(synchronousAverage(samples, revolutions, 64));
		expect(average.revolutions).toBe(4);
		average.wave.forEach((value, k) => {
			expect(value).toBeCloseTo(Math.cos((2 * Math.PI * 3 * k) / 64), 12);
		});
		expect(synchronousAverage(samples, [{ from: 90, to: 110 }], 64)).toMatchObject({
			problem: { code: 'no-revolutions', found: 1 },
		});
	});
});

describe('blockMean', () => {
	const one = { re: 1, im: 0 };
	it('gives back a constant exactly, whatever the stretches', () => {
		const { mean, covariance } = blockMean(
			Array.from({ length: 250 }, () => ({ re: 0.3, im: -0.7 })),
			[
				{ start: 2, length: 37 },
				{ start: 60, length: 190 },
			],
		);
		expect(mean).toEqual({ re: expect.closeTo(0.3, 12), im: expect.closeTo(-0.7, 12) });
		expect(Math.max(...covariance.map(Math.abs))).toBeLessThan(1e-24);
	});
	it('states the sd of the mean as repeats show it, from few blocks and from many (within 8 %, 2 000 seeded repeats each)', () => {
		for (const length of [30, 60, 80, 200, 390]) {
			const normal = normalDraws(length);
			let squares = 0;
			let stated = 0;
			const repeats = 2000;
			for (let k = 0; k < repeats; k++) {
				const result = blockMean(
					Array.from({ length }, () => ({ re: normal(), im: normal() })),
					[{ start: 0, length }],
				);
				squares += result.mean.re ** 2 + result.mean.im ** 2;
				stated += result.covariance[0] + result.covariance[2];
			}
			expect(Math.abs(Math.sqrt(stated / squares) - 1)).toBeLessThan(0.08);
		}
	});
	it('suppresses a tone off the orders at least tenfold better than a plain mean', () => {
		const tone = Array.from({ length: 390 }, (_, k) => ({
			re: Math.cos(2 * Math.PI * 0.1243 * k),
			im: Math.sin(2 * Math.PI * 0.1243 * k),
		}));
		const plain = tone.reduce((sum, z) => ({ re: sum.re + z.re / 390, im: sum.im + z.im / 390 }), { re: 0, im: 0 });
		expect(magnitude(blockMean(tone, [{ start: 0, length: 390 }]).mean)).toBeLessThan(magnitude(plain) / 10);
	});
	it('says when single revolutions stand in for blocks', () => {
		const phasors = Array.from({ length: 100 }, () => one);
		expect(blockMean(phasors, [{ start: 0, length: 60 }]).scatterFrom).toBe('revolutions');
		expect(blockMean(phasors, [{ start: 0, length: 75 }])).toMatchObject({ scatterFrom: 'blocks', blocks: 4 });
	});
});
