import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { RotorProblem } from '../src/balance/index.js';
import { solveRotor } from '../src/balance/index.js';
import { combineMasses } from '../src/balance/shop/index.js';
import { add, type Complex, fromPolar, magnitude, multiply, scale, subtract } from '../src/phasor/index.js';
import { dwells, lineThrough, probes } from './laboratory-rotor.js';
import { faultGMm, holeRadiusMm, referenceGMm } from './laboratory-rotor-problem.js';
import { okValue } from './published-vectors.js';

const source =
	'[M. Nouioua, rotor unbalance ladder, MIT, tests/data/rotor-unbalance-ladder; basis: published measurement]';
const folder = new URL('../../../demo-scenarios/laboratory-rotor/', import.meta.url);
const problem = JSON.parse(readFileSync(new URL('rotor.json', folder), 'utf8')) as RotorProblem;
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as {
	readonly oneHole: { readonly settings: Readonly<Record<string, number>> };
	readonly remainsGMmAtMost: number;
};

/** What the proposed masses are together, as a vector in g·mm by pass angle. */
function addedGMm(settings: Readonly<Record<string, number>>) {
	const masses = problem.adjusters.map(({ id, passAngleDeg }) => ({
		amount: (settings[id] ?? 0) * holeRadiusMm,
		angleDeg: passAngleDeg,
	}));
	const sum = combineMasses(masses);
	return fromPolar(sum.amount, sum.angleDeg);
}

describe('solveRotor on the measured laboratory rotor', () => {
	const answer = okValue(solveRotor(problem, { draws: 1000 }));
	const recommended = answer.proposals[answer.recommended ?? -1];
	if (!recommended) throw new Error('a recommendation expected');

	it(`removes the known 57 g·mm down to the dataset's own floor of 4 g·mm, not having been told it ${source}`, () => {
		const remains = magnitude(add(fromPolar(faultGMm - referenceGMm, 0), addedGMm(recommended.settings)));
		expect(remains).toBeLessThan(expected.remainsGMmAtMost);
	});
	it('proposes, with one hole, the setting that trying every hole and step gives', () => {
		const one = answer.proposals.find(({ touches }) => touches === 1);
		expect(one?.proved).toBe(true);
		const fitted = Object.fromEntries(Object.entries(one?.settings ?? {}).filter(([, grams]) => grams !== 0));
		expect(fitted).toEqual(expected.oneHole.settings);
	});
	it(`predicts eight readings whose intervals hold the readings that lines through all records give for it (7 of 8) ${source}`, () => {
		let inside = 0;
		for (const speed of ['N1', 'N2'] as const) {
			const records = dwells().filter((record) => record.disk === 1 && record.speed === speed);
			const regime = speed === 'N1' ? '1005 rpm' : '1206 rpm';
			for (const probe of probes) {
				const [, perGMm] = lineThrough(records, (record) => record.ips[probe]).coefficients;
				const found = records.filter(({ unbalanceGMm }) => unbalanceGMm === faultGMm);
				const reference = records.filter(({ unbalanceGMm }) => unbalanceGMm === referenceGMm);
				const mean = (of: typeof found) =>
					scale(
						of.reduce((sum, record) => add(sum, record.ips[probe]), { re: 0, im: 0 }),
						1 / of.length,
					);
				const added = addedGMm(recommended.settings);
				const change = multiply(perGMm as Complex, added);
				const left = magnitude(add(subtract(mean(found), mean(reference)), change));
				const said = recommended.predicted[`${regime}/${probe}`];
				if (said && said.low95Ips <= left && left <= said.high95Ips) inside++;
			}
		}
		expect(inside).toBeGreaterThanOrEqual(7);
	});
});
