import { describe, expect, it } from 'vitest';
import { bleedDrawing, bleedList } from '../src/lib/parts/bleed/bleed-staircase.view.js';
import { axisTicks, tidyStep } from '../src/lib/parts/plot/axis.js';
import { plotOf, wallStrokesAlong } from '../src/lib/parts/plot/plot.view.js';
import { spreadApart } from '../src/lib/parts/plot/spread.js';
import { type PowerChartData, powerChartDrawing, powerList } from '../src/lib/parts/power/power-chart.view.js';
import { rampDrawing, rampList } from '../src/lib/parts/ramp/ramp-bed.view.js';
import { trackDrawing } from '../src/lib/parts/track/track.view.js';
import { trendDrawing, trendList } from '../src/lib/parts/trend/trend.view.js';

// Percent or drawing units; a millionth is far below a pixel.
const digits = 6;

describe('tidyStep(length, most) and axisTicks(axis, most)', () => {
	it('cuts any length into at most that many steps of 1, 2 or 5', () => {
		for (const length of [0.07, 0.4, 1, 3.5, 27, 749, 12000]) {
			const step = tidyStep(length, 5);
			expect(length / step).toBeLessThanOrEqual(5 + 1e-9);
			expect(length / step).toBeGreaterThan(1.9);
			const lead = step / 10 ** Math.floor(Math.log10(step) + 1e-9);
			expect([1, 2, 5].some((tidy) => Math.abs(lead - tidy) < 1e-9)).toBe(true);
		}
	});

	it('writes ticks inside the axis only', () => {
		const ticks = axisTicks({ label: '', unit: 's', low: -3, high: 11, digits: 0 }, 5);
		expect(ticks.map((tick) => tick.text)).toEqual(['0', '5', '10']);
	});
});

describe('wallStrokesAlong(spots, forbidden)', () => {
	it('leans every stroke to the forbidden side', () => {
		const face = [
			{ x: 0, y: 100 },
			{ x: 80, y: 100 },
		];
		const ends = (path: string) =>
			[...path.matchAll(/M[\d.]+ ([\d.]+) L[\d.]+ ([\d.]+)/g)].map((match) => Number(match[2]) - Number(match[1]));
		const above = ends(wallStrokesAlong(face, 'above'));
		expect(above).toHaveLength(10);
		expect(above.every((lean) => lean < 0)).toBe(true);
		expect(ends(wallStrokesAlong(face, 'below')).every((lean) => lean > 0)).toBe(true);
	});
});

describe('spreadApart(places, gap)', () => {
	it('keeps order and leaves room, and moves nothing that has room', () => {
		expect(spreadApart([10, 12, 40], 5)).toEqual([10, 15, 40]);
		expect(spreadApart([12, 10], 5)).toEqual([15, 10]);
	});
});

describe('plotOf(x, y, box)', () => {
	it('puts low and high at the box, high above low', () => {
		const axis = { label: '', unit: 's', low: 0, high: 10, digits: 0 };
		const plot = plotOf(axis, axis, { left: 5, top: 7, width: 100, height: 50 });
		expect([plot.across(0), plot.across(10), plot.up(0), plot.up(10)]).toEqual([5, 105, 57, 7]);
	});
});

describe('rampDrawing(ideal, attempts, label)', () => {
	const ideal = { fromPct: 30, toPct: 90, rampS: 2, limitPct: 100 };
	const attempt = {
		id: '1',
		role: 'newest' as const,
		samples: [
			{ atS: 0, valuePct: 30 },
			{ atS: 2, valuePct: 104 },
		],
	};

	it('has the same slope for every ramp: a second and a percent keep their lengths', () => {
		const slope = (drawing: ReturnType<typeof rampDrawing>) =>
			(drawing.plot.up(30) - drawing.plot.up(40)) / (drawing.plot.across(1) - drawing.plot.across(0));
		expect(slope(rampDrawing(ideal, [], 'torque'))).toBeCloseTo(
			slope(rampDrawing({ ...ideal, rampS: 6, toPct: 60 }, [attempt], 'torque')),
			digits,
		);
	});

	it('tells the same as a list', () => {
		expect(rampList(ideal, [attempt])).toEqual([
			{ what: 'ideal ramp', words: '30.0 % to 90.0 % in 2.0 s, limit 100.0 %' },
			{ what: 'newest', words: 'highest 104.0 % at 2.0 s' },
		]);
		expect(rampList(ideal, [{ ...attempt, samples: [] }])[1]!.words).toBe('nothing flown');
	});
});

describe('bleedDrawing(bleed)', () => {
	const held = (valueC: number) => ({ valueC, low95C: valueC - 3, high95C: valueC + 3 });
	const bleed = { offC: held(640), onC: held(661), offAgainC: held(642), expectedRiseC: { low: 14, high: 26 } };

	it('counts the rise from the mean of both "off"', () => {
		expect(bleedDrawing(bleed).rise!.text).toBe('rise +20 \u00b0C');
		expect(bleedDrawing({ ...bleed, offAgainC: null }).rise!.text).toBe('rise +21 \u00b0C');
	});

	it('has no rise before "on" is written', () => {
		const drawing = bleedDrawing({ ...bleed, onC: null, offAgainC: null });
		expect(drawing.rise).toBeNull();
		expect(drawing.treads).toHaveLength(1);
		expect(bleedList({ ...bleed, onC: null }).map((row) => row.words)).toContain('not measured');
	});
});

describe('trackDrawing(blades, regimes, spreadLimitMm)', () => {
	const regime = (low: number, high: number) => ({ id: '1', label: 'hover', heightsMm: { A: high, B: low } });
	const beyond = (low: number, high: number) => {
		const drawing = trackDrawing(['A', 'B'], [regime(low, high)], 20);
		return drawing.lines.some(
			(line) => line.endMm < drawing.upperWallMm - 1e-9 || line.endMm > drawing.lowerWallMm + 1e-9,
		);
	};

	it('passes a wall exactly when the spread is over the limit, wherever the heights lie', () => {
		expect(beyond(-10, 10)).toBe(false);
		expect(beyond(5, 25)).toBe(false);
		expect(beyond(5, 25.1)).toBe(true);
	});

	it('is drawn in millimetres: walls stand the limit apart', () => {
		const drawing = trackDrawing(['A', 'B'], [regime(-2, 2)], 20);
		expect(drawing.lowerWallMm - drawing.upperWallMm).toBeCloseTo(20, digits);
		expect(drawing.heightMm).toBeGreaterThan(20);
	});
});

describe('powerChartDrawing(chart) and trendDrawing(trend)', () => {
	const x = { label: 'outside air', unit: '\u00b0C', low: -20, high: 40, digits: 0 };
	const y = { label: 'turbine', unit: '\u00b0C', low: 660, high: 780, digits: 0 };
	const chart: PowerChartData = {
		x,
		y,
		family: [],
		limit: {
			points: [
				{ x: -20, y: 690 },
				{ x: 40, y: 740 },
			],
			forbidden: 'above',
		},
		trace: [
			{ x: 15, y: 660 },
			{ x: 15, y: 711 },
			{ x: -20, y: 711 },
		],
		reading: { point: { x: 15, y: 691 }, low95: 685, high95: 697 },
	};

	it('traces up, then across: the first leg is upright, the second level', () => {
		const [, upright, level] = powerChartDrawing(chart).trace.match(/M([\d.]+ [\d.]+) L([\d.]+ [\d.]+) L/) ?? [];
		expect(upright!.split(' ')[0]).toBe(level!.split(' ')[0]);
	});

	it('tells answer and reading as a list', () => {
		expect(powerList('margin +20 \u00b0C', chart).map((row) => row.words)).toEqual([
			'margin +20 \u00b0C',
			'691 \u00b0C (95 in 100: 685 to 697 \u00b0C)',
		]);
	});

	it('draws and lists each point and each expectation', () => {
		const point = { atHours: 1200, value: 20, low95: 15, high95: 25 };
		const trend = {
			hours: { ...x, unit: 'h', low: 1000, high: 2000 },
			margin: { ...y, low: -10, high: 40, isSigned: true },
			points: [point],
			ahead: [point, { ...point, atHours: 1800, low95: 0 }],
			wallAt: 0,
			forbidden: 'below' as const,
		};
		expect(trendDrawing(trend).points).toHaveLength(1);
		expect(trendList(trend).map((row) => row.what)).toEqual(['at 1200 h', 'expected at 1200 h', 'expected at 1800 h']);
	});
});
