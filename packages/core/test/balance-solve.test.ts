import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Proposals, type RotorProblem, type Run, solveRotor } from '../src/balance/index.js';
import { contractExample, levelsOf, recommendedOf, solved, threeBlades, touching } from './balance-examples.js';
import { okValue } from './published-vectors.js';

const lat = 'hover/lat';

describe('solveRotor(problem) on the example of the contract', () => {
	const answer = solved(contractExample);

	// computed independently for the contract from the table's coefficient; basis: reference library
	it('[BAL-4] one change: five plates on C leave 0.122 ips at 192° in the mean', () => {
		const { settings, predicted } = touching(answer, 1);
		expect(settings).toEqual({ 'plate-A': 0, 'plate-B': 0, 'plate-C': 5 });
		// last printed digit; the fault's prior draws the mean by less than that
		expect(Math.abs(predicted[lat]!.amplitudeIps - 0.122)).toBeLessThan(0.0005);
		expect(Math.abs(predicted[lat]!.phaseDeg - 192)).toBeLessThan(0.5);
	});

	it('[BAL-4] two changes: two plates on A and six on C leave 0.023 ips at 225° in the mean', () => {
		const { settings, predicted } = touching(answer, 2);
		expect(settings).toEqual({ 'plate-A': 2, 'plate-B': 0, 'plate-C': 6 });
		expect(Math.abs(predicted[lat]!.amplitudeIps - 0.023)).toBeLessThan(0.0005);
		// 1 % of 0.023 ips is 0.6°
		expect(Math.abs(predicted[lat]!.phaseDeg - 225)).toBeLessThan(1);
	});

	it('states where the last run stands: 1.55 times the limit', () => {
		expect(answer.state).toMatchObject({ run: 'r1', withinLimit: false, withinGoal: false, unread: [] });
		expect(answer.state.worstRatioToLimit).toBeCloseTo(1.55, 12);
	});

	it('[BAL-6] proposals stand one per number of changes, none included, and are proved', () => {
		expect(answer.proposals.map((p) => p.touches)).toEqual([0, 1, 2]);
		for (const p of answer.proposals) {
			expect(p.proved).toBe(true);
			expect(p.lowerBound).toBeLessThanOrEqual(p.worstRatioToGoal * (1 + 1e-9));
		}
	});

	it('[BAL-5] the interval holds the mean’s side of the scatter and chances agree with it', () => {
		for (const p of answer.proposals) {
			const r = p.predicted[lat]!;
			expect(r.low95Ips).toBeLessThan(r.high95Ips);
			expect(r.chanceWithinGoal).toBeLessThanOrEqual(r.chanceWithinLimit);
			expect(r.high95Ips <= 0.2).toBe(r.chanceWithinLimit >= 0.975);
			// one channel: joint and single chance are the same thing; 1000 draws
			expect(Math.abs(p.chanceAllWithinLimit - r.chanceWithinLimit)).toBeLessThan(4 * Math.sqrt(0.25 / 1000));
		}
	});

	it('[BAL-12] says each change in shop words', () => {
		expect(touching(answer, 2).changes.map((c) => c.words)).toEqual([
			'Blade A: add 2 plates (0 to 2)',
			'Blade C: add 6 plates (0 to 6)',
		]);
	});
});

describe('solveRotor(problem) on three blades', () => {
	const answer = solved(threeBlades);

	it('[BAL-7] with a table nearly right each change must be worth one point of chance', () => {
		const sure = solved({
			...threeBlades,
			coefficients: threeBlades.coefficients.map((c) => ({ ...c, sdRelative: 0.03 })),
		});
		const chosen = recommendedOf(sure);
		expect(Math.max(...sure.proposals.map((p) => p.chanceAllWithinGoal))).toBeGreaterThan(0.5);
		for (const p of sure.proposals) {
			const lost = p.chanceAllWithinGoal - chosen.chanceAllWithinGoal;
			expect(lost).toBeLessThanOrEqual(0.01 * (p.touches - chosen.touches) + 1e-9);
		}
	});

	it('[BAL-7] with a table nobody knows recommends the set nearest to the goals', () => {
		const unsure = solved({
			...threeBlades,
			coefficients: threeBlades.coefficients.map((c) => ({ ...c, sdRelative: 0.6 })),
		});
		expect(Math.max(...unsure.proposals.map((p) => p.chanceAllWithinGoal))).toBeLessThan(0.5);
		const nearest = Math.min(...unsure.proposals.map((p) => p.worstRatioToGoal));
		expect(recommendedOf(unsure).worstRatioToGoal).toBe(nearest);
	});

	it('[BAL-8] recommends nothing when every channel is inside its goal', () => {
		const readings = Object.fromEntries(threeBlades.channels.map((c) => [c.id, { amplitudeIps: 0.06, phaseDeg: 40 }]));
		const inside = solved({ ...threeBlades, runs: [{ id: 'r1', readings }] });
		expect(inside.state).toMatchObject({ withinGoal: true, withinLimit: true });
		expect(recommendedOf(inside).changes).toEqual([]);
	});

	it('[BAL-9] a channel that was not read is never called inside', () => {
		const readings = { [lat]: { amplitudeIps: 0.05, phaseDeg: 0 } };
		const partly = solved({ ...threeBlades, runs: [{ id: 'r1', readings }] });
		expect(partly.state.withinLimit).toBeNull();
		expect(partly.state.unread).toEqual(['hover/vert', 'speed/lat', 'speed/vert']);
		const high: RotorProblem = {
			...threeBlades,
			runs: [{ id: 'r1', readings: { [lat]: { amplitudeIps: 0.3, phaseDeg: 0 } } }],
		};
		expect(solved(high).state.withinLimit).toBe(false);
	});

	it('[BAL-10] keeps locked adjusters, the untouched blade, the stock and the limit on the mean', () => {
		const found = solved({
			...threeBlades,
			locked: ['plate-A'],
			untouchedBlade: 'B',
			stock: { plate: 3 },
			rotor: { ...threeBlades.rotor, meanChangeLimit: { link: 0.34 } },
		});
		for (const { settings, meanChange } of found.proposals) {
			expect(settings['plate-A']).toBe(0);
			expect(settings['tab-B']).toBe(0);
			expect(settings['link-B']).toBe(0);
			expect(settings['plate-B']! + settings['plate-C']!).toBeLessThanOrEqual(3);
			expect(Math.abs(meanChange.link ?? 0)).toBeLessThanOrEqual(0.34);
		}
		expect(found.proposals.some((p) => p.settings['plate-C']! > 0)).toBe(true);
	});

	it('[BAL-11] settings are what was found plus whole steps, inside the range', () => {
		const first: Run = { ...threeBlades.runs![0]!, settings: { 'tab-B': 0.3, 'tab-C': -0.7 } };
		for (const { settings } of solved({ ...threeBlades, runs: [first] }).proposals) {
			expect(((settings['tab-B']! - 0.3) / 0.5) % 1).toBeCloseTo(0, 9);
			expect(Math.abs(settings['tab-C']!)).toBeLessThanOrEqual(4);
		}
	});

	it('[BAL-11] `values` are the only settings, and pieces make only their own sums', () => {
		const adjusters = threeBlades.adjusters.map((a) => {
			if (a.id === 'tab-B') return { ...a, values: [-2, 0, 3] };
			if (a.id === 'plate-C')
				return {
					...a,
					pieces: [
						{ id: 'thick', amount: 2.5, stock: 2 },
						{ id: 'thin', amount: 1, maxHere: 1 },
					],
				};
			return a;
		});
		for (const { settings } of solved({ ...threeBlades, adjusters }).proposals) {
			expect([-2, 0, 3]).toContain(settings['tab-B']);
			expect([0, 1, 2.5, 3.5, 5, 6]).toContain(settings['plate-C']);
		}
	});

	it('[BAL-13] states the mean change of links, the rotor speed it shifts, and what becomes stale', () => {
		const changed = answer.proposals.find((p) => p.changes.some((c) => c.adjuster.startsWith('link')))!;
		const sum = changed.settings['link-B']! + changed.settings['link-C']!;
		expect(changed.meanChange.link ?? 0).toBeCloseTo(sum / 3, 9);
		expect(changed.meanChange.plate).toBeUndefined();
		expect(changed.rotorRpmPct).toBeCloseTo((-0.6 * sum) / 3, 9);
		expect(changed.makesStale).toEqual(['vibration', 'track', 'autorotation-rpm']);
		expect(touching(answer, 0).makesStale).toEqual([]);
	});

	it('[BAL-14] names channels whose upper value is at or above their stop', () => {
		const channels = threeBlades.channels.map((c) => ({ ...c, stopIps: 0.3 }));
		const stay = touching(solved({ ...threeBlades, channels }), 0);
		expect(stay.buildUp).toEqual(channels.map((c) => c.id).filter((id) => stay.predicted[id]!.high95Ips >= 0.3));
		expect(stay.buildUp).toContain(lat);
	});

	it('reports each proposal as it is known, and stops when asked with what it has', () => {
		const told = new Set<string>();
		okValue(solveRotor(threeBlades, { draws: 100, onProgress: (p) => told.add(JSON.stringify(p.settings)) }));
		for (const p of answer.proposals) expect(told).toContain(JSON.stringify(p.settings));
		const stopped = okValue(solveRotor(threeBlades, { draws: 100, stop: () => true }));
		expect(stopped.recommended).toBe(0);
		for (const p of stopped.proposals) expect(p.lowerBound).toBeLessThanOrEqual(p.worstRatioToGoal * (1 + 1e-9));
	});

	it('[BAL-60] the same seed gives the same answer', () => {
		expect(solved(threeBlades)).toEqual(answer);
	});

	it('joint-chance never has a smaller chance than worst-ratio, for each number of changes', () => {
		const likely = solved({ ...threeBlades, objective: 'joint-chance' });
		for (const p of answer.proposals) {
			const other = likely.proposals.find((o) => o.touches === p.touches);
			if (other) expect(other.chanceAllWithinGoal).toBeGreaterThanOrEqual(p.chanceAllWithinGoal);
		}
		expect(likely.proposals.length).toBeGreaterThan(1);
	});

	it('weighted squares follow the weights of the regimes', () => {
		// plates pull both regimes the same way; one wants the opposite of the other
		const readings = {
			'hover/lat': { amplitudeIps: 0.3, phaseDeg: 118 },
			'speed/lat': { amplitudeIps: 0.3, phaseDeg: 298 },
		};
		const hoverLeft = (weight: number): number => {
			const channels = threeBlades.channels.map((c) => ({ ...c, weight: c.regime === 'hover' ? weight : 1 }));
			const locked = ['tab-B', 'tab-C', 'link-B', 'link-C'];
			const runs = [{ id: 'r1', readings }];
			const found = solved({ ...threeBlades, channels, locked, runs, objective: 'weighted-squares', cautionSd: 0 });
			return found.proposals.at(-1)!.predicted['hover/lat']!.amplitudeIps;
		};
		expect(hoverLeft(25)).toBeLessThan(0.5 * hoverLeft(1));
		expect(hoverLeft(0.04)).toBeGreaterThan(1.5 * hoverLeft(1));
	});

	it('after exact runs a correction computed from a wrong table comes inside', () => {
		const wrong = () => ({ gain: 0.7, phaseDeg: 35 });
		let runs: readonly Run[] = threeBlades.runs!;
		let answerNow: Proposals = answer;
		for (let n = 2; n < 6 && answerNow.state.withinGoal !== true; n++) {
			const { settings } = recommendedOf(answerNow);
			runs = [...runs, { id: `r${n}`, settings, readings: levelsOf(threeBlades, runs[0]!, settings, wrong) }];
			answerNow = solved({ ...threeBlades, runs });
		}
		expect(answerNow.state.withinGoal).toBe(true);
		expect(runs.length).toBeLessThanOrEqual(3);
	});
});

describe('solveRotor(problem): wrap and sign', () => {
	it('turning every phase of readings and table by one angle changes no setting', () => {
		const base = solved(threeBlades);
		for (const turn of [-360, 90, 180, 359.5]) {
			const turned = solved({
				...threeBlades,
				coefficients: threeBlades.coefficients.map((c) => ({ ...c, phaseDeg: c.phaseDeg + turn })),
				runs: threeBlades.runs!.map((run) => ({
					...run,
					readings: Object.fromEntries(
						Object.entries(run.readings).map(([id, r]) => [id, { ...r, phaseDeg: r.phaseDeg! + turn }]),
					),
				})),
			});
			expect(turned.proposals.map((p) => p.settings)).toEqual(base.proposals.map((p) => p.settings));
		}
	});

	it('[BAL-1] phases lie in [0, 360) and a phase of −0, 360 and 0 is the same', () => {
		const at = (phaseDeg: number) =>
			solved({ ...contractExample, runs: [{ id: 'r1', readings: { [lat]: { amplitudeIps: 0.31, phaseDeg } } }] });
		expect(at(360)).toEqual(at(0));
		expect(at(-0)).toEqual(at(0));
		for (const p of at(0).proposals) {
			expect(p.predicted[lat]!.phaseDeg).toBeGreaterThanOrEqual(0);
			expect(p.predicted[lat]!.phaseDeg).toBeLessThan(360);
		}
	});

	it('[BAL-2] the same change one place on turns the response by the pass angle', () => {
		const shifted = (places: number): RotorProblem => ({
			...contractExample,
			runs: [{ id: 'r1', readings: { [lat]: { amplitudeIps: 0.31, phaseDeg: 118 + 120 * places } } }],
		});
		const base = touching(solved(shifted(0)), 2).settings;
		const next = touching(solved(shifted(1)), 2).settings;
		expect(next).toEqual({ 'plate-A': base['plate-C'], 'plate-B': base['plate-A'], 'plate-C': base['plate-B'] });
	});

	it('[BAL-3] settings are absolute, missing means 0, and the fault is counted from the first run', () => {
		const from = { 'plate-A': 1, 'plate-B': 1, 'plate-C': 2 };
		const first = { ...contractExample.runs![0]!, settings: from };
		const moved = touching(solved({ ...contractExample, runs: [first] }), 2);
		expect(moved.settings).toEqual({ 'plate-A': 3, 'plate-B': 1, 'plate-C': 8 });
		const { settings: _, ...bare } = contractExample.runs![0]!;
		expect(solved({ ...contractExample, runs: [bare] })).toEqual(solved(contractExample));
	});
});

describe('solveRotor(problem): the part no change removes', () => {
	it('[BAL-19] is nothing for a fault that plates remove and the whole of one that they can’t', () => {
		expect(solved(contractExample).unreachable[lat]!.amplitudeIps).toBeLessThan(0.01);
		const locked = solved({ ...contractExample, locked: ['plate-A', 'plate-B', 'plate-C'] }).unreachable[lat]!;
		expect(locked.low95Ips).toBeLessThan(0.31);
		expect(locked.high95Ips).toBeGreaterThan(0.31);
		expect(locked.amplitudeIps).toBeGreaterThan(0.25);
	});

	it('two blades reach one line only, and the answer says so', () => {
		const two: RotorProblem = {
			...contractExample,
			rotor: {
				...contractExample.rotor,
				blades: [
					{ id: 'A', passAngleDeg: 0 },
					{ id: 'B', passAngleDeg: 180 },
				],
			},
			adjusters: contractExample.adjusters.slice(0, 2).map((a, n) => ({ ...a, passAngleDeg: 180 * n })),
			runs: [{ id: 'r1', readings: { [lat]: { amplitudeIps: 0.31, phaseDeg: 125 } } }],
		};
		const answer = solved(two);
		expect(answer.lineOnly.map((l) => l.kind)).toEqual(['plate']);
		// 125° is square to the plates' 35°: nothing of it can go
		expect(answer.unreachable[lat]!.amplitudeIps).toBeGreaterThan(0.25);
		expect(solved(contractExample).lineOnly).toEqual([]);
	});
});

describe('solveRotor(problem) without runs', () => {
	it('[BAL-50] advises a trial that is seen over the scatter and stays under the limit', () => {
		for (const coefficients of [contractExample.coefficients, []]) {
			const answer = solved({ ...contractExample, coefficients, runs: [] });
			expect(answer.proposals).toEqual([]);
			expect(answer.recommended).toBeNull();
			expect(answer.trial!.adjuster).toBe('plate-A');
			expect(answer.trial!.to).toBeGreaterThan(0);
			expect(answer.trial!.to).toBeLessThanOrEqual(3);
			expect(answer.trial!.words).toContain('Blade A: add');
		}
		expect(solved({ ...contractExample, runs: [] }).trial!.expectedIps).toBeLessThanOrEqual(0.2);
	});
});

describe('solveRotor(problem): track', () => {
	const track = {
		units: 'mm' as const,
		positive: 'high' as const,
		coefficients: [{ regime: 'hover', kind: 'link', mmPerUnit: 6, sdRelative: 0.2 }],
	};
	const withTrack = (
		heights: Record<string, number>,
		limits: { regime: string; spreadMm: number }[],
	): RotorProblem => ({
		...threeBlades,
		track: { ...track, limits },
		runs: threeBlades.runs!.map((run) => ({ ...run, track: { hover: heights } })),
	});

	it('heights move with the links over their mean, and the spread is stated beside its limit', () => {
		const answer = solved(withTrack({ A: 0, B: 9, C: -9 }, [{ regime: 'hover', spreadMm: 15 }]));
		const changed = answer.proposals.find((p) => p.settings['link-B'] !== 0 || p.settings['link-C'] !== 0)!;
		const move = [0, changed.settings['link-B']! * 6, changed.settings['link-C']! * 6];
		const mean = (move[0]! + move[1]! + move[2]!) / 3;
		const hover = changed.track!.hover!;
		expect(hover.heightsMm.B).toBeCloseTo(9 + move[1]! - mean, 9);
		expect(hover.limitMm).toBe(15);
		expect(touching(answer, 0).track!.hover!.spreadMm).toBe(18);
	});

	it('[BAL-4] the upper end of the spread counts what is not known of the coefficient and of the measurement, by hand', () => {
		const answer = solved(withTrack({ A: 0, B: 9, C: -9, sdMm: 2 }, [{ regime: 'hover', spreadMm: 15 }]));
		// nothing changed: the measured 18 mm and twice the variance of one height
		const stay = touching(answer, 0).track!.hover!;
		expect(stay.high95Mm).toBeCloseTo(18 + 1.96 * Math.hypot(2, 2), 9);
		for (const { settings, track: predicted } of answer.proposals) {
			const moved = { A: 0, B: settings['link-B']!, C: settings['link-C']! };
			const pairs = (['A', 'B', 'C'] as const).flatMap((a, n) =>
				(['A', 'B', 'C'] as const).slice(n + 1).map((b) => {
					const apart = predicted!.hover!.heightsMm[a]! - predicted!.hover!.heightsMm[b]!;
					return Math.abs(apart) + 1.96 * Math.hypot(2, 2, 0.2 * 6 * (moved[a] - moved[b]));
				}),
			);
			expect(predicted!.hover!.high95Mm).toBeCloseTo(Math.max(...pairs), 9);
		}
	});

	it('a coefficient that is hardly known is asked for less, as the caution says', () => {
		const heights = { A: 0, B: 30, C: -30 };
		const asked = (sdRelative: number): number => {
			const problem = withTrack(heights, [{ regime: 'hover', spreadMm: 15 }]);
			const coefficients = track.coefficients.map((c) => ({ ...c, sdRelative }));
			const last = solved({ ...problem, cautionSd: 1, track: { ...problem.track!, coefficients } }).proposals.at(-1)!;
			return Math.abs(last.settings['link-B']! - last.settings['link-C']!);
		};
		expect(asked(0)).toBeGreaterThan(0);
		expect(asked(1)).toBeLessThan(asked(0));
	});

	it('with a limit track enters the choice, without one it is only shown', () => {
		const far = { A: 0, B: 60, C: -60 };
		const shown = solved(withTrack(far, []));
		const limited = solved(withTrack(far, [{ regime: 'hover', spreadMm: 15 }]));
		const { track: __, ...plain } = shown.proposals.at(-1)!;
		expect(plain.settings).toEqual(solved(threeBlades).proposals.at(-1)!.settings);
		expect(limited.proposals.at(-1)!.track!.hover!.spreadMm).toBeLessThan(
			shown.proposals.at(-1)!.track!.hover!.spreadMm,
		);
	});
});

describe('solveRotor(problem) never answers with a number that isn’t one', () => {
	const amplitude = fc.double({ min: 0, max: 3, noNaN: true });
	const reading = fc.record({
		amplitudeIps: amplitude,
		phaseDeg: fc.oneof(fc.constant(null), fc.double({ min: -720, max: 720, noNaN: true })),
		sdIps: fc.double({ min: 0, max: 0.1, noNaN: true }),
	});
	const settings = fc.record({
		'plate-A': fc.integer({ min: 0, max: 8 }),
		'plate-C': fc.integer({ min: 0, max: 8 }),
		'tab-B': fc.double({ min: -4, max: 4, noNaN: true }),
	});
	const run = fc.record({ settings, readings: fc.record({ 'hover/lat': reading, 'speed/vert': reading }) });
	it('[BAL-60] random runs, coefficients and scatter: every number finite, every chance within 0 and 1', () => {
		fc.assert(
			fc.property(
				fc.array(run, { minLength: 1, maxLength: 3 }),
				fc.double({ min: 0, max: 1.5, noNaN: true }),
				fc.double({ min: 0, max: 0.1, noNaN: true }),
				fc.double({ min: 0, max: 1, noNaN: true }),
				(runs, sdRelative, sdIps, commonShare) => {
					const problem: RotorProblem = {
						...threeBlades,
						maxTouches: 2,
						coefficients: threeBlades.coefficients.map((c) => ({ ...c, sdRelative })),
						noise: { sdIps, sdRelative: 0.05, commonShare },
						runs: runs.map((r, n) => ({ ...r, id: `r${n}` })),
					};
					const answer = okValue(solveRotor(problem, { draws: 100 }));
					// JSON has no NaN and no infinity: they would come back as null
					expect(JSON.parse(JSON.stringify(answer))).toEqual(answer);
					for (const p of answer.proposals) {
						for (const r of Object.values(p.predicted)) {
							for (const chance of [r.chanceWithinGoal, r.chanceWithinLimit, r.chanceTrueLevelWithinLimit]) {
								expect(chance).toBeGreaterThanOrEqual(0);
								expect(chance).toBeLessThanOrEqual(1);
							}
							expect(r.low95Ips).toBeLessThanOrEqual(r.high95Ips);
						}
					}
				},
			),
			{ seed: 3, numRuns: 40 },
		);
	}, 120_000);
});
