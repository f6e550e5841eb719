import { describe, expect, it } from 'vitest';
import { assessTrace, type Findings, type Limits, type Line, type RowCells } from '../src/exceedance/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'exceedance/limits.json';
const line = (own: Partial<Line> & { readonly id: string }): Line => ({ maxSeconds: 0, reference: 'invented', ...own });

function limitsOf(lines: readonly Line[], more: Limits['parameters'] = [], own: object = {}): Limits {
	return { parameters: [{ id: 'x', unit: '%', ...own, lines }, ...more] };
}

function assess(limits: Limits, columns: readonly string[], rows: readonly (readonly [number, RowCells])[]): Findings {
	return okValue(assessTrace(limits, columns, rows));
}

/** A value held for a time between lower ones, 10 samples a second. */
function heldFor(seconds: number, value: number, rest: number): [number, number[]][] {
	const n = Math.round(seconds * 10);
	return Array.from({ length: n + 21 }, (_, k) => [k / 10, [k >= 10 && k <= 10 + n ? value : rest]]);
}

describe('published limits', () => {
	interface Case {
		readonly TGT_C?: number;
		readonly torque_percent?: number;
		readonly duration_s: number;
	}
	const table = vectorRow<{ readonly cases: readonly Case[] }, readonly { readonly ok: boolean }[]>(
		file,
		'limits-time-banded-table',
	);
	const tgt = [
		line({ id: 'continuous', above: 830, maxSeconds: 300 }),
		line({ id: 'takeoff', above: 840, maxSeconds: 20 }),
		line({ id: 'transient', above: 870 }),
	];
	const torque = [line({ id: 'continuous', above: 100, maxSeconds: 20 }), line({ id: 'transient', above: 138 })];
	it(table.says('[EXC-1] a time within the band is not proved and one a sample beyond it is'), () => {
		const verdicts = table.inputs.cases.map(({ TGT_C, torque_percent, duration_s }) => {
			const limits = limitsOf(TGT_C === undefined ? torque : tgt);
			const found = assess(limits, ['x'], heldFor(duration_s, TGT_C ?? torque_percent ?? 0, 50));
			return !found.episodes.some(({ verdict }) => verdict === 'proved');
		});
		expect(verdicts).toEqual(table.expected.map(({ ok }) => ok));
	});

	const bounds = vectorRow<
		{ readonly dt_s: number; readonly n_above: readonly number[] },
		readonly { readonly n: number; readonly lower_exclusive_s: number; readonly upper_exclusive_s: number }[]
	>(file, 'event-duration-bounds');
	it(bounds.says('[EXC-2] neighbours bound the time where the spacing is at most half the shortest'), () => {
		for (const { n, lower_exclusive_s, upper_exclusive_s } of bounds.expected) {
			const rows = Array.from({ length: n + 4 }, (_, k): [number, number[]] => [k, [k >= 2 && k < 2 + n ? 2 : 0]]);
			const found = assess(limitsOf([line({ id: 'a', above: 1 })], [], { shortestS: 2 }), ['x'], rows);
			expect(found.episodes.map(({ durationS }) => durationS)).toEqual([[lower_exclusive_s, upper_exclusive_s]]);
		}
	});

	const crossing = vectorRow<
		{ readonly t_s: readonly number[]; readonly v: readonly number[]; readonly threshold: number },
		{ readonly duration_s: number; readonly t_up: number; readonly peak: number; readonly bounds_s: readonly number[] }
	>(file, 'event-linear-crossing');
	it(crossing.says('[EXC-1] the interpolated crossing and duration lie inside the ranges'), () => {
		const { t_s, v, threshold } = crossing.inputs;
		const rows = t_s.map((t, at): [number, number[]] => [t, [v[at] as number]]);
		const limits = limitsOf([line({ id: 'a', above: threshold })], [], { shortestS: 2, slewPerSecond: 4 });
		const [one] = assess(limits, ['x'], rows).episodes;
		expect(one?.durationS).toEqual(crossing.expected.bounds_s);
		expect(one?.startS[0]).toBeLessThan(crossing.expected.t_up);
		expect(one?.startS[1]).toBeGreaterThan(crossing.expected.t_up);
		expect(one?.peak[0]).toBe(crossing.expected.peak);
		// (104 + 103 + 4 · 1 s) / 2 and (101 + 104 + 4) / 2.
		expect(one?.peak[1]).toBe(105.5);
	});

	const shortest = vectorRow<
		{ readonly dt_s: number },
		readonly { readonly event_s: number; readonly min_samples: number }[]
	>(file, 'event-detectability');
	it(
		shortest.says('[EXC-7] an excursion that may fall between samples is named as unseen, one that cannot is not'),
		() => {
			const rows = Array.from({ length: 30 }, (_, k): [number, number[]] => [k, [0]]);
			for (const { event_s, min_samples } of shortest.expected) {
				const found = assess(limitsOf([line({ id: 'a', above: 1 })], [], { shortestS: event_s }), ['x'], rows);
				// At exactly the spacing the excursion could fill the interval between two samples: it is still named.
				const hidden = event_s <= shortest.inputs.dt_s;
				expect(found.unseen).toEqual(
					hidden ? [{ line: 'a', fromS: 0, toS: 29, couldReach: null, reason: 'slow-sampling' }] : [],
				);
				if (!hidden) expect(min_samples).toBeGreaterThanOrEqual(1);
			}
		},
	);

	const recorder = vectorRow<object, { readonly samples_per_second: { readonly engine_torque: number } }>(
		file,
		'fdr-sampling-part91',
	);
	it(recorder.says('[EXC-3] a recorder of that rate cannot exclude 2 s of torque without a slew'), () => {
		const rate = recorder.expected.samples_per_second.engine_torque;
		const rows = Array.from({ length: 20 }, (_, k): [number, number[]] => [k / rate, [80]]);
		const found = assess(limitsOf([line({ id: 'a', above: 100 })]), ['x'], rows);
		expect(found.unseen).toHaveLength(1);
		expect(assess(limitsOf([line({ id: 'a', above: 100 })], [], { slewPerSecond: 30 }), ['x'], rows).unseen).toEqual(
			[],
		);
	});

	const bySpeed = vectorRow<
		{
			readonly line_percent: number;
			readonly at_least_kt: number;
			readonly torque_percent: number;
			readonly speeds_kt: readonly number[];
		},
		{ readonly passed: readonly boolean[] }
	>(file, 'torque-line-by-speed');
	it(bySpeed.says('[EXC-4] a condition decides whether the line is passed'), () => {
		const { line_percent, at_least_kt, torque_percent, speeds_kt } = bySpeed.inputs;
		const own = line({ id: 'a', above: line_percent, when: { iasKt: { atLeast: at_least_kt } } });
		const passed = speeds_kt.map((speed) => {
			const rows = heldFor(1, torque_percent, 80).map(([t, [x]]): [number, number[]] => [t, [x as number, speed]]);
			return assess(limitsOf([own]), ['x', 'iasKt'], rows).episodes.length > 0;
		});
		expect(passed).toEqual(bySpeed.expected.passed);
	});
});

describe('assessTrace(limits, columns, rows)', () => {
	it('[EXC-4] a missing condition column makes the line possible and names the column', () => {
		const own = line({ id: 'a', above: 90, when: { iasKt: { atLeast: 40 } } });
		const found = assess(limitsOf([own]), ['x'], heldFor(1, 95, 80));
		expect(found.episodes.map(({ verdict }) => verdict)).toEqual(['possible']);
		expect(found.assumptions).toContainEqual(expect.objectContaining({ code: 'column-missing', parameter: 'iasKt' }));
	});

	it('[EXC-4] states in words and 0 or 1 hold between equal samples and are unknown where they change', () => {
		const own = line({ id: 'a', above: 90, when: { phase: { equals: 'flight' } } });
		const rows = (phases: readonly string[]) =>
			phases.map((phase, k): [number, (number | string)[]] => [k / 5, [k >= 2 && k <= 4 ? 95 : 80, phase]]);
		const run = (phases: readonly string[]) =>
			assess(limitsOf([own]), ['x', 'phase'], rows(phases)).episodes.map(({ verdict }) => verdict);
		expect(run(Array(8).fill('flight'))).toEqual(['proved']);
		expect(assess(limitsOf([own]), ['x', 'phase'], rows(Array(8).fill('flight'))).assumptions).toContainEqual(
			expect.objectContaining({ code: 'state-held', parameter: 'phase' }),
		);
		expect(run(Array(8).fill('ground'))).toEqual([]);
		expect(run([...Array(5).fill('ground'), ...Array(3).fill('flight')])).toEqual(['possible']);
	});

	it('[EXC-5] an episode is cut by the trace only when it touches the first or the last sample', () => {
		const cut = (values: readonly number[]) =>
			assess(
				limitsOf([line({ id: 'a', above: 90 })]),
				['x'],
				values.map((x, k) => [k / 10, [x]]),
			).episodes.map(({ cutByTrace }) => cutByTrace);
		expect(cut([80, 95, 95, 80])).toEqual([false]);
		expect(cut([95, 95, 80, 80])).toEqual([true]);
		expect(cut([80, 80, 95, 95])).toEqual([true]);
	});

	it('[EXC-2] what the ranges rest on is said of every column a line asks for, listed or not', () => {
		const own = line({ id: 'a', above: 90, when: { iasKt: { atLeast: 40 } } });
		const { assumptions } = assess({ parameters: [{ id: 'x', lines: [own] }] }, ['x', 'iasKt'], [[0, [80, 50]]]);
		expect(assumptions.map(({ code, parameter, found }) => [code, parameter, found])).toEqual([
			['shortest', 'x', 0.5],
			['no-slew', 'x', null],
			['unit-missing', 'x', null],
			['shortest', 'iasKt', 0.5],
			['no-slew', 'iasKt', null],
		]);
	});

	it('[EXC-6] resolution widens what is possible and never what is proved', () => {
		const limits = limitsOf([line({ id: 'a', above: 100 })], [], { resolution: 0.5 });
		const verdicts = (value: number) => assess(limits, ['x'], heldFor(1, value, 80)).episodes.map((one) => one.verdict);
		expect(verdicts(100)).toEqual(['possible']);
		expect(verdicts(100.01)).toEqual(['proved']);
		expect(verdicts(99.5)).toEqual([]);
	});

	it('[EXC-8] times are judged each, summed over the flight, or added when close together', () => {
		const twice: [number, number[]][] = Array.from({ length: 101 }, (_, k) => [
			k / 10,
			[(k >= 10 && k < 30) || (k >= 50 && k < 70) ? 95 : 80],
		]);
		const verdicts = (own: Partial<Line>) =>
			assess(limitsOf([line({ id: 'a', above: 90, maxSeconds: 3, ...own })]), ['x'], twice).episodes.map(
				({ verdict }) => verdict,
			);
		expect(verdicts({})).toEqual([]);
		expect(verdicts({ timeIs: 'sum-of-flight' })).toEqual(['proved']);
		expect(verdicts({ resetAfterS: 5 })).toEqual(['proved']);
		expect(verdicts({ resetAfterS: 1 })).toEqual([]);
	});

	it('[EXC-9] more times than allowed are proved by samples that surely belong to different ones', () => {
		const rows: [number, number[]][] = Array.from({ length: 101 }, (_, k) => [k / 10, [k % 20 < 8 ? 80 : 95]]);
		const own = (maxCount: number) =>
			assess(limitsOf([line({ id: 'a', above: 90, maxSeconds: 5, maxCount })]), ['x'], rows);
		expect(own(5).episodes).toEqual([]);
		expect(own(3).episodes.map(({ verdict }) => verdict)).toEqual(['proved', 'proved']);
		expect(own(3).totals.a?.count).toEqual([5, 5]);
	});

	it('[EXC-10] the worst line governs in a parameter and in each of its families', () => {
		const limits = limitsOf([
			line({ id: 'airframe-low', above: 90, family: 'airframe' }),
			line({ id: 'airframe-high', above: 94, family: 'airframe' }),
			line({ id: 'engine', above: 92, family: 'engine' }),
			line({ id: 'engine-high', above: 99, family: 'engine' }),
		]);
		const found = assess(limits, ['x'], heldFor(1, 95, 80));
		expect(found.governing).toEqual({ x: 'airframe-high' });
		expect(found.governingByFamily).toEqual({ airframe: { x: 'airframe-high' }, engine: { x: 'engine' } });
		expect(assess(limits, ['x'], heldFor(1, 80, 70)).governing).toEqual({ x: null });
	});

	it('[EXC-1] a band and a bound that moves with another column are lines as well', () => {
		const band = limitsOf([line({ id: 'band', between: [60, 70], maxSeconds: 1 })]);
		expect(assess(band, ['x'], heldFor(2, 65, 80)).governing).toEqual({ x: 'band' });
		expect(assess(band, ['x'], heldFor(2, 75, 80)).governing).toEqual({ x: null });
		const table = limitsOf([
			line({
				id: 'table',
				aboveByTable: {
					parameter: 'oatC',
					points: [
						[0, 100],
						[20, 90],
					],
				},
			}),
		]);
		const at = (oatC: number) =>
			assess(
				table,
				['x', 'oatC'],
				heldFor(1, 96, 80).map(([t, [x]]) => [t, [x as number, oatC]]),
			).episodes.map(({ verdict }) => verdict);
		expect([at(5), at(10), at(30)]).toEqual([[], ['proved'], ['possible']]);
	});

	it('[EXC-8] time that nobody saw before it may count towards a sum, never towards what is proved', () => {
		const summed = line({ id: 'a', above: 100, maxSeconds: 4, timeIs: 'sum-of-flight' });
		const reset = line({ id: 'b', above: 100, maxSeconds: 4, resetAfterS: 3 });
		const rows = (gapS: number): [number, number[]][] =>
			Array.from({ length: 121 }, (_, k): [number, number[]] => {
				const atS = k / 10 + (k > 60 ? gapS : 0);
				return [atS, [(k >= 30 && k < 45) || (k >= 80 && k < 95) ? 110 : 80]];
			});
		const verdicts = (gapS: number) => {
			const found = assess(limitsOf([summed, reset]), ['x'], rows(gapS));
			return found.episodes.map(({ line: id, verdict }) => `${id} ${verdict}`);
		};
		expect(verdicts(0)).toEqual([]);
		// Twice 1.5 s seen, and 2 s more could lie in the gap.
		expect(verdicts(2)).toEqual(['a possible', 'b possible']);
	});

	it('[EXC-9] a band may be passed through for a moment, as often as the shortest time fits between', () => {
		// 0.5 s apart, never seen inside: above, below and above again, each for the shortest time.
		const rows = [80, 80, 110, 80, 110, 110].map((v, k): [number, number[]] => [k / 2, [v]]);
		const band = line({ id: 'a', between: [95, 98], maxCount: 3, maxSeconds: 0 });
		const { totals } = assess(limitsOf([band]), ['x'], rows);
		expect(totals.a?.count[1]).toBeGreaterThanOrEqual(3);
	});

	it('[EXC-6] a condition indicated in steps may change within its step: nothing is excluded by the step', () => {
		// 39 kt twice, 0.6 s apart: indicated in whole knots it may have been 39.49 at both, and at 40 for half a second.
		const rows: [number, number[]][] = [
			[0, [120, 39]],
			[0.6, [120, 39]],
		];
		const at = (resolution: number): number => {
			const speed = { id: 'iasKt', slewPerSecond: 10, resolution };
			const limits = limitsOf([line({ id: 'a', above: 100, when: { iasKt: { atLeast: 40 } } })], [speed]);
			const found = assess(limits, ['x', 'iasKt'], rows);
			return found.episodes.length + found.unseen.length;
		};
		expect(at(1)).toBe(1);
		expect(at(0)).toBe(0);
	});

	it('[EXC-7] a gap between good samples is told as unseen and is no episode', () => {
		const rows = Array.from({ length: 121 }, (_, k): [number, number[]] => [k / 10 + (k > 60 ? 2 : 0), [80]]);
		const found = assess(limitsOf([line({ id: 'a', above: 100 })]), ['x'], rows);
		expect(found.episodes).toEqual([]);
		expect(found.governing).toEqual({ x: null });
		expect(found.unseen.map(({ fromS, toS, reason }) => [fromS, toS, reason])).toEqual([[6, 8.1, 'gap']]);
	});

	it('[EXC-7] at most 20 unseen times are listed, and none is lost by it', () => {
		const lines = [1, 2, 3].map((k) => line({ id: `l${k}`, above: 90 + k }));
		const rows = Array.from({ length: 3000 }, (_, k): [number, number[]] => [k / 10 + 5 * Math.floor(k / 100), [80]]);
		const found = assess(limitsOf(lines), ['x'], rows);
		expect(found.unseen.length).toBeLessThanOrEqual(20);
		for (const { id } of lines) {
			for (let gap = 1; gap < 30; gap++) {
				const [fromS, toS] = [gap * 15 - 5.1, gap * 15];
				const covered = found.unseen.some(
					(one) => one.line === id && one.fromS <= fromS + 1e-9 && one.toS >= toS - 1e-9,
				);
				expect(covered).toBe(true);
			}
		}
	});

	it.each([
		[[1, 1], 'duplicate-time'],
		[[1, 0.5], 'clock-backwards'],
		[[1, Number.NaN], 'not-a-time'],
		[[], 'no-rows'],
	])('times %j are refused with %s', (times, code) => {
		const result = assessTrace(
			limitsOf([line({ id: 'a', above: 1 })]),
			['x'],
			times.map((t) => [t, [0]] as const),
		);
		expect(result.ok ? 'accepted' : result.problem.code).toBe(code);
	});
});
