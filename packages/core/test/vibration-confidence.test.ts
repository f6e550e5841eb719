import { describe, expect, it } from 'vitest';
import { fromPolar } from '../src/phasor/index.js';
import { confidenceEllipse, meanAndCovariance, tSquared, tSquaredLimit } from '../src/vibration/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'balance/estimation.json';
type Square = readonly [readonly [number, number], readonly [number, number]];

function inverse([[a, b], [c, d]]: Square): Square {
	const determinant = a * d - b * c;
	return [
		[d / determinant, -b / determinant],
		[-c / determinant, a / determinant],
	];
}

describe('mean, covariance and confidence of a phasor', () => {
	interface JwInputs {
		readonly n: number;
		readonly mean: readonly [number, number];
		readonly S: Square;
		readonly mu0: readonly [number, number];
		readonly S_inverse_printed_in_5_8: Square;
		readonly S_inverse_recalled_from_example: Square;
	}
	interface JwExpected {
		readonly F_2_40_05: number;
		readonly T2_limit: number;
		readonly T2_with_5_8_inverse: number;
		readonly T2_with_example_inverse: number;
		readonly T2_with_inverse_of_S_as_given: number;
		readonly computed: { readonly limit: number; readonly half_axes: readonly [number, number] };
	}
	const jw = vectorRow<JwInputs, JwExpected>(file, 't2-jw-5-3');
	it(jw.says('T² by each of the three covariances in print (0.01), its limit (0.01) and the half axes (1e-4)'), () => {
		const { n, mean, S, mu0 } = jw.inputs;
		const by = (covariance: Square) => okValue(tSquared({ count: n, mean, covariance }, mu0));
		expect(Math.abs(by(S) - jw.expected.T2_with_inverse_of_S_as_given)).toBeLessThan(0.01);
		expect(Math.abs(by(inverse(jw.inputs.S_inverse_printed_in_5_8)) - jw.expected.T2_with_5_8_inverse)).toBeLessThan(
			0.01,
		);
		expect(
			Math.abs(by(inverse(jw.inputs.S_inverse_recalled_from_example)) - jw.expected.T2_with_example_inverse),
		).toBeLessThan(0.01);
		const limit = okValue(tSquaredLimit(n, 0.95));
		expect(Math.abs(limit - jw.expected.T2_limit)).toBeLessThan(0.01);
		expect(limit).toBeCloseTo(jw.expected.computed.limit, 4);
		const { halfAxes } = okValue(confidenceEllipse({ count: n, mean, covariance: S }, 0.95));
		expect(halfAxes[0]).toBeCloseTo(jw.expected.computed.half_axes[0], 4);
		expect(halfAxes[1]).toBeCloseTo(jw.expected.computed.half_axes[1], 4);
	});
	const three = vectorRow<
		{ readonly X: readonly (readonly number[])[]; readonly mu0: readonly [number, number] },
		{ readonly mean: readonly number[]; readonly S: readonly (readonly number[])[] }
	>(file, 't2-jw-example-5-1');
	it(three.says('mean, covariance and T² = 7/9 from three pairs (1e-9)'), () => {
		const estimate = okValue(meanAndCovariance(three.inputs.X));
		expect(estimate.mean).toEqual(three.expected.mean);
		expect(estimate.covariance).toEqual(three.expected.S);
		expect(okValue(tSquared(estimate, three.inputs.mu0))).toBeCloseTo(7 / 9, 9);
	});
	const handbook = vectorRow<
		{ readonly X: readonly (readonly number[])[] },
		{ readonly mean: readonly number[]; readonly S: readonly (readonly number[])[] }
	>(file, 'cov-nist-ehb');
	it(handbook.says('mean vector and covariance of three dimensions (1e-9)'), () => {
		const estimate = okValue(meanAndCovariance(handbook.inputs.X));
		estimate.mean.forEach((value, k) => {
			expect(value).toBeCloseTo(handbook.expected.mean[k] ?? Number.NaN, 9);
		});
		estimate.covariance.flat().forEach((value, k) => {
			expect(value).toBeCloseTo(handbook.expected.S.flat()[k] ?? Number.NaN, 9);
		});
	});
	interface Ellipse {
		readonly mean_xy: readonly [number, number];
		readonly cov: Square;
		readonly T2_limit: number;
		readonly half_axes: readonly [number, number];
		readonly major_axis_deg: number;
		readonly T2_against_zero: number;
	}
	const six = vectorRow<
		{ readonly readings_ips_x10: readonly { readonly amp: number; readonly deg: number }[] },
		Ellipse
	>(file, 'ellipse-phasor');
	it(
		six.says(
			'95 % region of a mean phasor from six repeats (1e-6 relative; half axes to the last of six decimals, direction 1e-4°)',
		),
		() => {
			const estimate = okValue(
				meanAndCovariance(
					six.inputs.readings_ips_x10.map(({ amp, deg }) => {
						const z = fromPolar(amp, deg);
						return [z.re, z.im];
					}),
				),
			);
			const near = (found: number | undefined, wanted: number) =>
				expect(Math.abs((found ?? Number.NaN) / wanted - 1)).toBeLessThan(1e-6);
			near(estimate.mean[0], six.expected.mean_xy[0]);
			near(estimate.mean[1], six.expected.mean_xy[1]);
			near(estimate.covariance[0]?.[0], six.expected.cov[0][0]);
			near(estimate.covariance[0]?.[1], six.expected.cov[0][1]);
			near(okValue(tSquaredLimit(6, 0.95)), six.expected.T2_limit);
			near(okValue(tSquared(estimate, [0, 0])), six.expected.T2_against_zero);
			const ellipse = okValue(confidenceEllipse(estimate, 0.95));
			expect(Math.abs(ellipse.halfAxes[0] - six.expected.half_axes[0])).toBeLessThan(1e-6);
			expect(Math.abs(ellipse.halfAxes[1] - six.expected.half_axes[1])).toBeLessThan(1e-6);
			expect(ellipse.majorAxisDeg).toBeCloseTo(six.expected.major_axis_deg, 4);
		},
	);
	it('refuses one observation (too-few) and observations on one line (singular-covariance)', () => {
		expect(meanAndCovariance([[1, 2]])).toMatchObject({ problem: { code: 'too-few', found: 1 } });
		const line = okValue(
			meanAndCovariance([
				[0, 0],
				[1, 1],
				[2, 2],
			]),
		);
		expect(tSquared(line, [0, 1])).toMatchObject({ problem: { code: 'singular-covariance' } });
		expect(confidenceEllipse(line, 0.95)).toMatchObject({ problem: { code: 'singular-covariance' } });
		expect(tSquaredLimit(2, 0.95)).toMatchObject({ problem: { code: 'too-few', needed: 3 } });
	});
});
