import { describe, expect, it } from 'vitest';
import { airAt } from '../src/air/index.js';
import { type AutorotationRule, judgeAutorotation } from '../src/autorotation/index.js';
import { okValue } from './published-vectors.js';

/** Chart by the law that rotor speed grows as √(W/ρ) (common practice), 95 % at 1200 kg at sea level; numbers invented. */
const masses = [900, 1000, 1100, 1200, 1300, 1400];
const altitudes = [0, 1000, 2000, 3000, 4000, 5000, 6000];
const law = (massKg: number, altitudeFt: number): number => {
	const { sigma } = okValue(airAt(altitudeFt, 15 - 0.0019812 * altitudeFt));
	return 95 * Math.sqrt(massKg / 1200 / sigma);
};
const rule: AutorotationRule = {
	chart: {
		kind: 'grid',
		result: { id: 'rotorRpmPct', sense: 'max' },
		axes: [
			{ id: 'massKg', values: masses },
			{ id: 'densityAltitudeFt', values: altitudes },
		],
		values: masses.map((massKg) => altitudes.map((altitudeFt) => law(massKg, altitudeFt))),
		interpolation: 'monotone-cubic',
	},
	withinPct: 1,
	rotorRpmPctPerUnit: -0.6,
	words: { plus: 'lengthen by', minus: 'shorten by' },
	unit: 'flats',
	stepUnits: 1,
	blades: 3,
	maxRpmPct: 108,
	minRpmPct: 90,
	massSdPct: 1,
	readingSdPct: 0.2,
};
const run = (offPct: number, massKg = 1150, densityAltitudeFt = 2500) => ({
	rotorRpmPct: law(massKg, densityAltitudeFt) + offPct,
	massKg,
	conditions: { densityAltitudeFt },
});

describe('judgeAutorotation(runs, rule)', () => {
	it('[AUT-1] corrects each run at its own mass and density altitude before it averages', () => {
		const judged = okValue(judgeAutorotation([run(2, 1180, 1500), run(2.2, 1120, 3500)], rule));
		// The chart is read between its points: to 0.01 %.
		expect(judged.correctionPct).toBeCloseTo(-2.1, 2);
		expect(judged.side).toBe('outside');
		expect(judged.correctionsPct.map((one) => Math.round(one * 10) / 10)).toEqual([-2, -2.2]);
	});

	it('[AUT-2] tells what a mass 3 % wrong would do: 1.5 % of the rotor speed (common practice: 1 % mass is 0.5 % rpm)', () => {
		const judged = okValue(judgeAutorotation([run(0), run(0)], rule));
		expect(judged.massErrorEffectPct / law(1150, 2500)).toBeCloseTo(0.015, 3);
		expect(judged.correctionSdPct).toBeGreaterThan(0.45);
		expect([judged.side, judged.change]).toEqual(['inside', null]);
	});

	it('[AUT-3] proposes one equal change for all blades, in the type’s words (published: links lengthened equally when high, R66 MM 18-16)', () => {
		const judged = okValue(judgeAutorotation([run(2.3), run(2.5)], rule));
		expect(judged.change).toMatchObject({ units: 4, words: 'All 3 blades equally: lengthen by 4 flats' });
		expect(judged.change?.expectedPct).toBeCloseTo(-2.4, 12);
		expect(okValue(judgeAutorotation([run(-2), run(-2)], rule)).change?.words).toContain('shorten by 3 flats');
		expect(judged.makesStale).toEqual(['hover balance', 'track', 'collective stops']);
	});

	it('[AUT-4] gives no advice from one run or from runs that differ by over 1 %', () => {
		expect(okValue(judgeAutorotation([run(3)], rule))).toMatchObject({ noAdvice: 'too-few-runs', change: null });
		expect(okValue(judgeAutorotation([run(3), run(1.5)], rule))).toMatchObject({
			noAdvice: 'runs-differ',
			change: null,
		});
	});

	it('[AUT-5] names runs that passed a power-off wall and refuses what lies beyond the chart', () => {
		const low = { ...run(0), rotorRpmPct: 89 };
		expect(okValue(judgeAutorotation([run(0), low], rule)).walls).toEqual([{ run: 1, wall: 'min', foundPct: 89 }]);
		expect(judgeAutorotation([run(0), { ...run(0), massKg: 1500 }], rule)).toMatchObject({
			problem: { code: 'outside-chart', path: "$[1].conditions['massKg']", needed: { axis: 'massKg', atMost: 1400 } },
		});
		expect(judgeAutorotation([], rule)).toMatchObject({ problem: { code: 'no-runs' } });
	});
});
