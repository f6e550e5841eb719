import { describe, expect, it } from 'vitest';
import type { InspectCode, InspectFlag, RotorProblem, Run } from '../src/balance/index.js';
import { contractExample, levelsOf, solved, threeBlades } from './balance-examples.js';

const flags = (problem: RotorProblem): readonly InspectFlag[] => solved(problem).inspect;
const codes = (problem: RotorProblem): readonly InspectCode[] => flags(problem).map((f) => f.code);
const first = threeBlades.runs![0]!;
const lat = 'hover/lat';
const reading = (amplitudeIps: number, phaseDeg = 118, sdIps = 0.004) => ({ [lat]: { amplitudeIps, phaseDeg, sdIps } });

describe('inspect flags of solveRotor(problem)', () => {
	it('a healthy rotor that answers as its table says raises none', () => {
		const moved = { 'plate-A': 2, 'plate-C': 5, 'tab-B': 1, 'link-C': -1 };
		const second: Run = { id: 'r2', settings: moved, readings: levelsOf(threeBlades, first, moved) };
		expect(codes({ ...threeBlades, runs: [first, second] })).toEqual([]);
	});

	it('[BAL-40] a gain that is surely beyond 2.5, with the number it saw', () => {
		const moved = { 'plate-A': 4, 'plate-B': 6 };
		const strong = () => ({ gain: 5.5, phaseDeg: 0 });
		const second: Run = { id: 'r2', settings: moved, readings: levelsOf(threeBlades, first, moved, strong) };
		const coefficients = threeBlades.coefficients.map((c) => ({ ...c, sdRelative: 1 }));
		const gain = flags({ ...threeBlades, coefficients, noise: { sdIps: 0.01 }, runs: [first, second] }).find(
			(f) => f.code === 'gain-far-from-table',
		)!;
		expect(gain.subject).toBe('plate');
		expect(gain.found).toBeGreaterThan(3.5);
		expect(gain.limit).toBe(2.5);
	});

	it('[BAL-41] a tab that would have to be over 4°, and a setting beyond the type’s own figure', () => {
		const tab = { ...threeBlades.adjusters.find((a) => a.id === 'tab-B')!, min: -12, max: 12 };
		const alone: RotorProblem = {
			...threeBlades,
			adjusters: [tab],
			coefficients: threeBlades.coefficients.filter((c) => c.kind === 'tab' && c.channel === 'speed/vert'),
			rotor: { ...threeBlades.rotor, meanChangeLimit: {} },
			channels: threeBlades.channels.filter((c) => c.id === 'speed/vert'),
			runs: [{ id: 'r1', readings: { 'speed/vert': { amplitudeIps: 0.4, phaseDeg: 200 } } }],
		};
		expect(flags(alone)).toContainEqual(expect.objectContaining({ code: 'tab-demand', subject: 'tab-B', limit: 4 }));
		const sane = { ...contractExample, inspectAt: { settingByKind: { plate: 5 } } };
		expect(flags(sane)).toContainEqual(
			expect.objectContaining({ code: 'setting-demand', subject: 'plate-C', found: 6, limit: 5 }),
		);
		expect(codes({ ...contractExample, inspectAt: { settingByKind: { plate: 6 } } })).toEqual([]);
	});

	it('[BAL-42] a blade whose track moves over 75 mm from hover to speed', () => {
		const track = (b: number) => ({ hover: { A: 0, B: 0, C: 0 }, speed: { A: 0, B: b, C: 0 } });
		const at = (b: number) => codes({ ...threeBlades, runs: [{ ...first, track: track(b) }] });
		expect(at(76)).toContain('track-hook');
		expect(at(75)).toEqual([]);
	});

	it('[BAL-43] scatter within the run over three times the type’s', () => {
		const at = (sdIps: number) =>
			codes({
				...contractExample,
				noise: { sdIps: 0.02, withinSdIps: 0.005 },
				runs: [{ id: 'r1', readings: reading(0.31, 118, sdIps) }],
			});
		expect(at(0.016)).toContain('scatter-grown');
		expect(at(0.015)).toEqual([]);
	});

	it('[BAL-44] over the limit within 10 h of a result inside goal', () => {
		const at = (hoursH: number) =>
			codes({
				...contractExample,
				runs: [
					{ id: 'r1', readings: reading(0.08), hoursH: 100 },
					{ id: 'r2', readings: reading(0.25), hoursH, workSince: 'not-on-rotor' },
				],
			});
		expect(at(110)).toContain('out-again-soon');
		expect(at(110.5)).not.toContain('out-again-soon');
	});

	it('[BAL-45] a part over the limit that no change removes', () => {
		const locked = contractExample.adjusters.map((a) => a.id);
		expect(flags({ ...contractExample, locked })).toContainEqual(
			expect.objectContaining({ code: 'unreachable-over-limit', subject: lat, limit: 0.2 }),
		);
		expect(codes(contractExample)).toEqual([]);
	});

	it('[BAL-46] two changes in a row that made it worse', () => {
		const run = (n: number, plates: number, amplitude: number): Run => ({
			id: `r${n}`,
			settings: { 'plate-A': plates },
			readings: reading(amplitude),
		});
		expect(codes({ ...contractExample, runs: [run(1, 0, 0.3), run(2, 1, 0.33), run(3, 2, 0.37)] })).toContain(
			'worse-twice',
		);
		expect(codes({ ...contractExample, runs: [run(1, 0, 0.3), run(2, 1, 0.28), run(3, 2, 0.37)] })).not.toContain(
			'worse-twice',
		);
		expect(codes({ ...contractExample, runs: [run(1, 0, 0.3), run(2, 0, 0.33), run(3, 2, 0.37)] })).not.toContain(
			'worse-twice',
		);
	});
});
