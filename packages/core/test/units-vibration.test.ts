import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
	convertVibration,
	orderHz,
	type Reckoning,
	type VibrationScale,
	type VibrationUnit,
} from '../src/units/index.js';
import { vectorRow } from './published-vectors.js';

const file = 'units/conversion.json';
const scale = (unit: VibrationUnit, reckoning: Reckoning = 'peak'): VibrationScale => ({ unit, reckoning });

/** Level in inches of displacement, which the product does not offer as a unit of its own. */
const inchOf = (mil: number) => mil / 1000;

describe('convertVibration on published conversion values', () => {
	const inch = vectorRow<
		unknown,
		{ readonly exact: Readonly<Record<string, number>>; readonly sine_factors: Readonly<Record<string, number>> }
	>(file, 'cnv-newport');
	it(
		inch.says(
			'zero-to-peak constants at 1 Hz (1e-10 of the recomputed figures, which take g as 386.0885827 in/s²) and the sine factors (0.5 %, three printed digits)',
		),
		() => {
			const { exact, sine_factors } = inch.expected;
			const at = (from: VibrationUnit, to: VibrationUnit) => convertVibration(1, scale(from), scale(to), 1);
			const found: Readonly<Record<string, number>> = {
				D_over_V: inchOf(at('ips', 'mil')),
				D_over_A: inchOf(at('g', 'mil')),
				V_over_D: at('mil', 'ips') * 1000,
				V_over_A: at('g', 'ips'),
				A_over_D: at('mil', 'g') * 1000,
				A_over_V: at('ips', 'g'),
			};
			for (const [name, value] of Object.entries(found))
				expect(Math.abs(value / (exact[name] ?? Number.NaN) - 1)).toBeLessThan(1e-10);
			const sine = (from: Reckoning, to: Reckoning) => convertVibration(1, scale('ips', from), scale('ips', to), 1);
			expect(Math.abs(sine('peak', 'rms') / (sine_factors.pk_to_rms ?? Number.NaN) - 1)).toBeLessThan(0.005);
			expect(sine('peak', 'peak-to-peak')).toBe(sine_factors.pk_to_pp);
			expect(Math.abs(sine('rms', 'peak-to-peak') / (sine_factors.rms_to_pp ?? Number.NaN) - 1)).toBeLessThan(0.005);
		},
	);

	interface PerMinute {
		readonly printed: Readonly<Record<string, number>>;
		readonly exact: Readonly<Record<string, number>>;
	}
	const perMinute = vectorRow<unknown, PerMinute>(file, 'cnv-engtips');
	it(
		perMinute.says(
			'constants per cycle a minute (1e-10 of the recomputed figures; 0.5 % of five prints; the sixth, 3.87e3, is the misprint)',
		),
		() => {
			const mil = scale('mil', 'peak-to-peak');
			const hz = 1 / 60;
			const found: Readonly<Record<string, number>> = {
				D_from_V: convertVibration(1, scale('ips'), mil, hz),
				D_from_A: convertVibration(1, scale('g'), mil, hz),
				V_from_D: convertVibration(1, mil, scale('ips'), hz),
				V_from_A: convertVibration(1, scale('g'), scale('ips'), hz),
				A_from_D: convertVibration(1, mil, scale('g'), hz),
				A_from_V: convertVibration(1, scale('ips'), scale('g'), hz),
			};
			for (const [name, value] of Object.entries(found)) {
				expect(Math.abs(value / (perMinute.expected.exact[name] ?? Number.NaN) - 1)).toBeLessThan(1e-10);
				const apart = Math.abs(value / (perMinute.expected.printed[name] ?? Number.NaN) - 1);
				if (name === 'V_from_A') expect(apart).toBeGreaterThan(0.04);
				else expect(apart).toBeLessThan(0.005);
			}
		},
	);

	const metric = vectorRow<
		{ readonly ips_pk: number; readonly mm_s_pk: number },
		{ readonly mm_s_pk: number; readonly ips_pk_exact: number }
	>(file, 'cnv-easa');
	it(metric.says('inch and metric velocity (printed digits)'), () => {
		expect(convertVibration(metric.inputs.ips_pk, scale('ips'), scale('mm/s'), 0)).toBeCloseTo(
			metric.expected.mm_s_pk,
			12,
		);
		expect(convertVibration(metric.inputs.mm_s_pk, scale('mm/s'), scale('ips'), 0)).toBeCloseTo(
			metric.expected.ips_pk_exact,
			5,
		);
	});

	interface Worked {
		readonly mm_s_pk: number;
		readonly mm_s_rms: number;
		readonly mil_pp: number;
		readonly mm_pp: number;
		readonly g_pk: number;
		readonly f_Hz: number;
	}
	const worked = vectorRow<
		{ readonly cases: readonly { readonly ips_pk: number; readonly rpm: number }[] },
		{ readonly cases: readonly Worked[] }
	>(file, 'cnv-worked');
	it(worked.says('three shaft speeds in every unit (1e-6 relative, or half the last of six printed decimals)'), () => {
		worked.inputs.cases.forEach(({ ips_pk, rpm }, k) => {
			const wanted = worked.expected.cases[k];
			if (!wanted) throw new Error('one expected case per input');
			const hz = orderHz(rpm);
			const near = (found: number, value: number) =>
				expect(Math.abs(found - value)).toBeLessThan(Math.max(1e-6 * value, 5.1e-7));
			near(hz, wanted.f_Hz);
			near(convertVibration(ips_pk, scale('ips'), scale('mm/s'), hz), wanted.mm_s_pk);
			near(convertVibration(ips_pk, scale('ips'), scale('mm/s', 'rms'), hz), wanted.mm_s_rms);
			near(convertVibration(ips_pk, scale('ips'), scale('mil', 'peak-to-peak'), hz), wanted.mil_pp);
			near(convertVibration(ips_pk, scale('ips'), scale('um', 'peak-to-peak'), hz) / 1000, wanted.mm_pp);
			near(convertVibration(ips_pk, scale('ips'), scale('g'), hz), wanted.g_pk);
		});
	});
});

describe('convertVibration on further published values', () => {
	const more = 'units/vibration.json';
	const constants = vectorRow<unknown, Readonly<Record<string, string>>>(more, 'vib-sine-constants');
	it(
		constants.says(
			'constants in US units at 1 Hz (2e-5; the page drops a square in the displacement row, which the row restores)',
		),
		() => {
			const printed = (name: string) => Number.parseFloat(constants.expected[name] ?? '');
			const rmsG = scale('g', 'rms');
			const near = (found: number, wanted: number, relative: number) =>
				expect(Math.abs(found / wanted - 1)).toBeLessThan(relative);
			near(convertVibration(1, rmsG, scale('ips'), 1), printed('gRMS_to_ips_peak'), 2e-5);
			near(inchOf(convertVibration(1, rmsG, scale('mil', 'peak-to-peak'), 1)), printed('gRMS_to_inch_pp'), 2e-5);
			near(convertVibration(1, scale('ips'), scale('mil', 'peak-to-peak'), 1), printed('ips_peak_to_mils_pp'), 2e-5);
			// printed to three digits only
			near(convertVibration(1000, scale('mil', 'peak-to-peak'), scale('ips'), 1), printed('inch_pp_to_ips_peak'), 1e-3);
			near(convertVibration(1, scale('ips'), rmsG, 1), printed('ips_peak_to_gRMS'), 1e-3);
		},
	);
	interface Row {
		readonly a_g_peak: number;
		readonly f_Hz: number;
		readonly v_mm_s_peak: number;
		readonly v_ips_peak: number;
		readonly d_mil_pp: number;
		readonly v_mm_s_rms: number;
	}
	const rows = vectorRow<unknown, readonly Row[]>(more, 'vib-accel-to-velocity');
	it(rows.says('acceleration to velocity and displacement at four frequencies (1e-7)'), () => {
		for (const row of rows.expected) {
			const to = (wanted: VibrationScale) => convertVibration(row.a_g_peak, scale('g'), wanted, row.f_Hz);
			expect(Math.abs(to(scale('mm/s')) / row.v_mm_s_peak - 1)).toBeLessThan(1e-7);
			expect(Math.abs(to(scale('ips')) / row.v_ips_peak - 1)).toBeLessThan(1e-7);
			expect(Math.abs(to(scale('mil', 'peak-to-peak')) / row.d_mil_pp - 1)).toBeLessThan(1e-7);
			expect(Math.abs(to(scale('mm/s', 'rms')) / row.v_mm_s_rms - 1)).toBeLessThan(1e-7);
		}
	});
	const calibrator = vectorRow<
		{ readonly a_m_s2: number; readonly f_Hz: number },
		{ readonly v_mm_s: number; readonly d_um: number }
	>(more, 'vib-calibrator-1000rad');
	it(calibrator.says('10 m/s² at 1000 rad/s is 10 mm/s is 10 µm (1e-12)'), () => {
		const g = (calibrator.inputs.a_m_s2 * 1000) / 9806.65;
		expect(
			convertVibration(g, scale('g'), scale('mm/s'), calibrator.inputs.f_Hz) / calibrator.expected.v_mm_s,
		).toBeCloseTo(1, 12);
		expect(convertVibration(g, scale('g'), scale('um'), calibrator.inputs.f_Hz) / calibrator.expected.d_um).toBeCloseTo(
			1,
			12,
		);
	});
});

describe('convertVibration as a function', () => {
	const unit = fc.constantFrom<VibrationUnit>('g', 'ips', 'mm/s', 'mil', 'um');
	const reckoning = fc.constantFrom<Reckoning>('peak', 'rms', 'peak-to-peak');
	it('comes back to the level it started from, through any unit and reckoning (1e-12, property)', () => {
		const level = fc.double({ min: 1e-4, max: 100, noNaN: true });
		const hz = fc.double({ min: 0.5, max: 500, noNaN: true });
		fc.assert(
			fc.property(level, unit, reckoning, unit, reckoning, hz, (value, u1, r1, u2, r2, f) => {
				const there = convertVibration(value, scale(u1, r1), scale(u2, r2), f);
				expect(convertVibration(there, scale(u2, r2), scale(u1, r1), f) / value).toBeCloseTo(1, 12);
			}),
		);
	});
	it('throws without a frequency between acceleration and velocity, and needs none within one quantity', () => {
		expect(() => convertVibration(1, scale('g'), scale('ips'), 0)).toThrow(RangeError);
		expect(convertVibration(1, scale('mil'), scale('um'), 0)).toBeCloseTo(25.4, 12);
	});
});
