import { trendOf } from '@stillmast/core/power';
import type { ChartTrend } from '@stillmast/record/judge';
import { describe, expect, it } from 'vitest';
import { marginTrend } from '../src/lib/check/hold-trend.view.js';

/** Margins on a straight line: −2 °C in 10 h, so everything can be said by hand. */
function line(count: number): ChartTrend {
	const points = Array.from({ length: count }, (_, at) => ({
		flight: at + 1,
		engineH: 100 + 10 * at,
		margin: 20 - 2 * at,
		marginSd: 1,
	}));
	return { result: 'totC', points, trend: trendOf(points) };
}

describe('marginTrend(trend, unit)', () => {
	it('tells slope and hours to zero, and draws to beyond the zero', () => {
		const shown = marginTrend(line(7), '°C', 0);
		// 8 °C left at 160 h, 0.2 °C an hour
		expect(shown?.sentences).toEqual([
			'−20.0 °C in 100 h, −20.0 to −20.0 by this scatter.',
			'At zero in about 40 h, in 40 h at the earliest.',
		]);
		expect(shown?.drawing.hours).toMatchObject({ low: 100, high: 160 + 40 + 15 });
		const ahead = shown?.drawing.ahead.map(({ atHours, value }) => [atHours, Math.round(1e6 * value) / 1e6]);
		expect(ahead).toEqual([
			[160, 8],
			[187.5, 2.5],
			[215, -3],
		]);
		expect(shown?.drawing.points[0]).toEqual({ atHours: 100, value: 20, low95: 18.04, high95: 21.96 });
	});

	it('gives no hours from five checks, and nothing from two', () => {
		expect(marginTrend(line(5), '°C', 0)?.sentences[1]).toBe('Fewer than six checks, so no hours to zero.');
		expect(marginTrend(line(2), '°C', 0)).toBeNull();
	});
});
