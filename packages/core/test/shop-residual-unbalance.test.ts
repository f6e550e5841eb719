import { describe, expect, it } from 'vitest';
import {
	journalResidualOzIn,
	navyResidualOzIn,
	permissibleUnbalance,
	qualityGradesMmPerS,
	unbalanceForceN,
} from '../src/balance/shop/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'balance/residual-unbalance.json';
const kgPerLb = 0.45359237;
const gMmPerOzIn = 28.349523125 * 25.4;
const newtonPerLbf = 4.4482216152605;

describe('residual unbalance, published figures', () => {
	const grades = vectorRow<
		{ readonly grades: readonly number[] },
		{ readonly e_omega_mm_s: Readonly<Record<string, number>> }
	>(file, 'iso-grade-table');
	it(
		grades.says('the grades are those of the table, and permissibleUnbalance turns each into e·ω again (exact)'),
		() => {
			expect(qualityGradesMmPerS).toEqual(grades.inputs.grades);
			for (const grade of qualityGradesMmPerS) {
				expect(grades.expected.e_omega_mm_s[`G${grade}`]).toBe(grade);
				const { eccentricityUm } = okValue(permissibleUnbalance({ gradeMmPerS: grade, rotorMassKg: 20, rpm: 3000 }));
				expect((eccentricityUm / 1000) * (3000 / 60) * 2 * Math.PI).toBeCloseTo(grade, 9);
			}
		},
	);

	interface EnergyInputs {
		readonly W_lb: number;
		readonly N_rpm: number;
		readonly G_mm_s: number;
		readonly journal_static_lb: number;
	}
	interface EnergyFigures {
		readonly API: number;
		readonly MIL: number;
		readonly ISO_total: number;
		readonly ISO_plane: number;
	}
	const energy = vectorRow<
		EnergyInputs,
		{ readonly printed_oz_in: EnergyFigures; readonly computed_oz_in: EnergyFigures }
	>(file, 'iso-energytech');
	it(
		energy.says(
			'three rules on one compressor rotor (0.005 oz·in of the print; the ISO figure to 1e-4 of its exact factor)',
		),
		() => {
			const { W_lb, N_rpm, G_mm_s, journal_static_lb } = energy.inputs;
			const iso = okValue(permissibleUnbalance({ gradeMmPerS: G_mm_s, rotorMassKg: W_lb * kgPerLb, rpm: N_rpm }));
			const found: EnergyFigures = {
				API: okValue(journalResidualOzIn({ journalLoadLb: journal_static_lb, rpm: N_rpm })),
				MIL: okValue(navyResidualOzIn({ weightLb: W_lb, rpm: N_rpm })),
				ISO_total: iso.unbalanceGMm / gMmPerOzIn,
				ISO_plane: iso.perPlaneGMm / gMmPerOzIn,
			};
			for (const rule of ['API', 'MIL', 'ISO_total', 'ISO_plane'] as const) {
				expect(Math.abs(found[rule] - energy.expected.printed_oz_in[rule])).toBeLessThan(0.005);
				expect(Math.abs(found[rule] / energy.expected.computed_oz_in[rule] - 1)).toBeLessThan(1e-4);
			}
		},
	);

	const navy = vectorRow<
		{ readonly W_lb: number; readonly rpm: readonly number[] },
		{ readonly U_oz_in: readonly number[] }
	>(file, 'mil-std-167');
	it(navy.says('the speed bands (1e-3) and no step at 1000 rpm'), () => {
		navy.inputs.rpm.forEach((rpm, k) => {
			// the row gives the middle band's value at 150 rpm; at the seam itself the lower band holds
			const asked = rpm === 150 ? 150.000001 : rpm;
			const found = okValue(navyResidualOzIn({ weightLb: navy.inputs.W_lb, rpm: asked }));
			expect(Math.abs(found - (navy.expected.U_oz_in[k] ?? Number.NaN))).toBeLessThan(1e-3);
		});
		const below = okValue(navyResidualOzIn({ weightLb: 10, rpm: 1000 }));
		const above = okValue(navyResidualOzIn({ weightLb: 10, rpm: 1000.000001 }));
		expect(above / below).toBeCloseTo(1, 6);
	});

	interface ForceInputs {
		readonly example: { readonly W_oz: number; readonly R_in: number; readonly rpm: number };
	}
	const force = vectorRow<
		ForceInputs,
		{ readonly printed_constant: number; readonly exact_constant: number; readonly F_lb_exact: number }
	>(file, 'force-1-77');
	it(force.says('force of an unbalance: 1e-5 of the exact figure, 0.5 % of the printed constant'), () => {
		const { W_oz, R_in, rpm } = force.inputs.example;
		const forceLb = unbalanceForceN(W_oz * R_in * gMmPerOzIn, rpm) / newtonPerLbf;
		expect(Math.abs(forceLb / force.expected.F_lb_exact - 1)).toBeLessThan(1e-5);
		const constant = forceLb / (W_oz * R_in * (rpm / 1000) ** 2);
		expect(Math.abs(constant / force.expected.printed_constant - 1)).toBeLessThan(0.005);
	});

	it('refuses a grade, mass, weight or speed that is not above zero, and names it (not-positive)', () => {
		expect(permissibleUnbalance({ gradeMmPerS: 6.3, rotorMassKg: 0, rpm: 3000 })).toMatchObject({
			problem: { code: 'not-positive', path: '$.rotorMassKg' },
		});
		expect(navyResidualOzIn({ weightLb: 10, rpm: -1 })).toMatchObject({ problem: { path: '$.rpm' } });
		expect(journalResidualOzIn({ journalLoadLb: Number.NaN, rpm: 1 })).toMatchObject({
			problem: { path: '$.journalLoadLb' },
		});
	});
});
