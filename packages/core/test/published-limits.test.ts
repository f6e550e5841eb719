import { describe, expect, it } from 'vitest';
import { assessTrace, type Findings, type Line } from '../src/exceedance/index.js';
import { okValue, vectorRow } from './published-vectors.js';

const file = 'exceedance/limits.json';
const reference = 'invented';

function assess(lines: readonly Line[], rows: readonly (readonly [number, number])[], shortestS = 2): Findings {
	const limits = { parameters: [{ id: 'x', unit: '%', shortestS, lines }] };
	return okValue(
		assessTrace(
			limits,
			['x'],
			rows.map(([t, v]) => [t, [v]] as const),
		),
	);
}

describe('assessTrace(limits, columns, rows)', () => {
	const bounds = vectorRow<object, readonly { readonly n: number; readonly midpoint_s: number }[]>(
		file,
		'event-duration-bounds',
	);
	it(bounds.says('[EXC-2] the middle of the range is the number of samples times the spacing'), () => {
		for (const { n, midpoint_s } of bounds.expected) {
			const rows = Array.from({ length: n + 4 }, (_, k) => [k, k >= 2 && k < 2 + n ? 2 : 0] as const);
			const [episode] = assess([{ id: 'a', above: 1, maxSeconds: 0, reference }], rows).episodes;
			const [least = 0, most = 0] = episode?.durationS ?? [];
			expect((least + most) / 2).toBe(midpoint_s);
		}
	});

	interface Detectable {
		readonly event_s: number;
		readonly p_at_least_one_sample: number;
		readonly min_samples: number;
		readonly max_samples: number;
	}
	const detectable = vectorRow<{ readonly dt_s: number }, readonly Detectable[]>(file, 'event-detectability');
	it(detectable.says('[EXC-7] over 200 phases it is seen that often, by that many samples'), () => {
		const { dt_s } = detectable.inputs;
		for (const { event_s, p_at_least_one_sample, min_samples, max_samples } of detectable.expected) {
			const counts = Array.from({ length: 200 }, (_, phase) => {
				const beginS = 5 + ((phase + 0.5) / 200) * dt_s;
				const isOver = (t: number): boolean => t >= beginS && t <= beginS + event_s;
				const rows = Array.from({ length: 20 }, (_, k) => [k * dt_s, isOver(k * dt_s) ? 2 : 0] as const);
				const line = { id: 'a', above: 1, maxSeconds: 0, reference };
				const seen = assess([line], rows, event_s).episodes.length;
				const over = rows.filter(([, v]) => v > 1).length;
				expect(seen).toBe(over > 0 ? 1 : 0);
				return over;
			});
			expect(counts.filter((n) => n > 0).length / counts.length).toBeCloseTo(p_at_least_one_sample, 9);
			expect([Math.min(...counts), Math.max(...counts)]).toEqual([min_samples, max_samples]);
		}
	});

	interface Rating {
		readonly period_s: number;
		readonly periods_per_flight?: number;
		readonly mandatory_inspection?: boolean;
	}
	interface Ratings {
		readonly rated_takeoff_power_s: number;
		readonly rated_2_5_minute_OEI: Rating;
		readonly rated_2_minute_OEI: Rating;
		readonly rated_30_second_OEI: Rating;
		readonly rated_30_minute_OEI: Rating;
		readonly rated_continuous_OEI: object;
	}
	const oei = vectorRow<object, Ratings>(file, 'reg-oei-ratings-1-1');
	const { expected } = oei;
	it(oei.says('[EXC-1] [EXC-8] [EXC-9] each period as a time line; three periods a flight as a count'), () => {
		const beyond = (periods: number, periodS: number) => {
			const lengthS = (periodS + 20) * periods + 20;
			return Array.from({ length: lengthS + 1 }, (_, t) => {
				const inPeriod = t >= 20 && (t - 20) % (periodS + 20) < periodS && t - 20 < (periodS + 20) * periods;
				return [t, inPeriod ? 110 : 80] as const;
			});
		};
		const verdicts = (line: Line, periods: number, periodS: number) =>
			assess([line], beyond(periods, periodS)).episodes.map(({ verdict }) => verdict);
		const timed = [
			expected.rated_takeoff_power_s,
			expected.rated_2_5_minute_OEI.period_s,
			expected.rated_2_minute_OEI.period_s,
			expected.rated_30_second_OEI.period_s,
			expected.rated_30_minute_OEI.period_s,
		];
		expect(timed).toEqual([300, 150, 120, 30, 1800]);
		for (const periodS of timed) {
			const line: Line = { id: 'a', above: 100, maxSeconds: periodS, reference };
			// A sample a second: two seconds more are more for sure, two less are less for sure.
			expect(verdicts(line, 1, periodS + 3)).toEqual(['proved']);
			expect(verdicts(line, 1, periodS - 3)).toEqual([]);
		}
		for (const { period_s, periods_per_flight = 0, mandatory_inspection } of [
			expected.rated_2_minute_OEI,
			expected.rated_30_second_OEI,
		]) {
			const line: Line = { id: 'a', above: 100, maxSeconds: period_s, maxCount: periods_per_flight, reference };
			expect(verdicts(line, periods_per_flight, period_s - 3)).toEqual([]);
			expect(verdicts(line, periods_per_flight + 1, period_s - 3).at(-1)).toBe('proved');
			// A period that asks for an inspection whenever it was used: a line that may never be passed.
			expect(mandatory_inspection).toBe(true);
			expect(verdicts({ id: 'a', above: 100, maxSeconds: 0, reference }, 1, 5)).toEqual(['proved']);
		}
		expect(expected.rated_continuous_OEI).toBeDefined();
	});

	interface Recorder {
		readonly samples_per_second: Readonly<Record<string, number>>;
		readonly accuracy_percent: { readonly main_rotor_speed: number };
	}
	const recorder = vectorRow<object, Recorder>(file, 'fdr-sampling-part135e');
	it(
		recorder.says('[EXC-2] [EXC-3] only columns of four samples a second bound half-second excursions by neighbours'),
		() => {
			const { samples_per_second, accuracy_percent } = recorder.expected;
			for (const hz of Object.values(samples_per_second)) {
				const rows = Array.from({ length: 60 }, (_, k) => [k / hz, 80] as const);
				const found = assess([{ id: 'a', above: 100, maxSeconds: 0, reference }], rows, 0.5);
				expect(found.unseen.length).toBe(hz >= 4 ? 0 : 1);
			}
			// An accuracy is a resolution's like: it widens what is possible at the line.
			const speed = {
				id: 'x',
				unit: '%',
				resolution: accuracy_percent.main_rotor_speed,
				lines: [{ id: 'a', above: 100, maxSeconds: 0, reference }],
			};
			const near = okValue(
				assessTrace(
					{ parameters: [speed] },
					['x'],
					[
						[0, [99]],
						[0.1, [99]],
					],
				),
			);
			expect(near.episodes.map(({ verdict }) => verdict)).toEqual(['possible']);
		},
	);
});
