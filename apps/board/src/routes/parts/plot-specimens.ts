import type { BleedRise } from '$lib/parts/bleed/bleed-staircase.view.js';
import type { PowerChartData } from '$lib/parts/power/power-chart.view.js';
import type { IdealRamp, RampAttempt } from '$lib/parts/ramp/ramp-bed.view.js';
import type { ThreadSample } from '$lib/parts/steady/steady-thread.view.js';
import type { BarAxis, TimeBarRow } from '$lib/parts/time-bars/time-bars.view.js';
import type { TrackRegime } from '$lib/parts/track/track.view.js';
import type { TrendData } from '$lib/parts/trend/trend.view.js';

// Invented numbers of an invented aircraft.
export const timeBarRows: readonly TimeBarRow[] = [
	{
		id: 'p',
		label: 'saw',
		source: 'witness',
		pen: 'pilot',
		atLeast: { from: 0, to: 2 },
		atMost: { from: 0, to: 5 },
		words: '2.0 to 5.0 s',
	},
	{
		id: 'e',
		label: 'saw',
		source: 'witness',
		pen: 'engineer',
		atLeast: { from: 0, to: 1 },
		atMost: null,
		words: 'at least 1.0 s',
	},
	{
		id: 't',
		label: 'trace, torque',
		source: 'trace',
		pen: null,
		atLeast: { from: 0, to: 2.5 },
		atMost: { from: 0, to: 3.5 },
		words: '2.5 to 3.5 s',
	},
	{
		id: 'a',
		label: 'together',
		source: 'agreed',
		pen: null,
		atLeast: { from: 0, to: 2.5 },
		atMost: { from: 0, to: 3.5 },
		words: '2.5 to 3.5 s',
	},
];

export const timeBarAxis: BarAxis = { unit: 's', wallAt: 3, forbidden: 'right', zero: 0 };

export const threadSamples: readonly ThreadSample[] = Array.from({ length: 81 }, (_, index) => {
	const atS = -20 + index / 4;
	return {
		atS,
		value: 62.4 + 1.6 * Math.sin(atS * 0.8) + 0.7 * Math.sin(atS * 2.3) - (atS < -13 && atS > -16 ? 5 : 0),
	};
});

export const idealRamp: IdealRamp = { fromPct: 30, toPct: 90, rampS: 2, limitPct: 100 };

const attempt = (id: string, role: RampAttempt['role'], lagS: number, overPct: number): RampAttempt => ({
	id,
	role,
	samples: Array.from({ length: 43 }, (_, index) => {
		const atS = index * 0.085;
		const share = 1 / (1 + Math.exp(-(atS - 1 - lagS) * 3.4));
		return { atS, valuePct: 30 + 60 * share + overPct * Math.exp(-(((atS - 2.2 - lagS) / 0.45) ** 2)) };
	}),
});

export const rampAttempts: readonly RampAttempt[] = [
	attempt('1', 'first', 0.55, -8),
	attempt('2', 'best', 0.12, 3),
	attempt('3', 'newest', -0.05, 16),
];

export const bleedRise: BleedRise = {
	offC: { valueC: 640, low95C: 637, high95C: 643 },
	onC: { valueC: 661, low95C: 657, high95C: 665 },
	offAgainC: { valueC: 642, low95C: 639, high95C: 645 },
	expectedRiseC: { low: 14, high: 26 },
};

export const trackRegimes: readonly TrackRegime[] = [
	{ id: 'hover', label: 'hover', heightsMm: { A: 2, B: -1, C: -1 } },
	{ id: '80', label: '80 kt', heightsMm: { A: 5, B: -2, C: -3 } },
	{ id: '100', label: '100 kt', heightsMm: { A: 8, B: -2, C: -6 } },
	{ id: '120', label: '120 kt', heightsMm: { A: 12, B: -3, C: -9 } },
];

const chartLine = (altitudeFt: number, offset: number) => ({
	label: `${altitudeFt} ft`,
	points: Array.from({ length: 13 }, (_, index) => ({
		x: -20 + index * 5,
		y: 690 + offset + (index * 5 - 20) * 0.9 + ((index * 5 - 20) / 14) ** 2,
	})),
});

export const powerChart: PowerChartData = {
	x: { label: 'outside air', unit: '°C', low: -20, high: 40, digits: 0, isSigned: true },
	y: { label: 'turbine temperature', unit: '°C', low: 660, high: 780, digits: 0 },
	family: [chartLine(0, 0), chartLine(4000, 12), chartLine(8000, 25)],
	limit: { points: chartLine(2000, 6).points, forbidden: 'above' },
	trace: [
		{ x: 15, y: 660 },
		{ x: 15, y: 710.7 },
		{ x: -20, y: 710.7 },
	],
	reading: { point: { x: 15, y: 691 }, low95: 685, high95: 697 },
};

export const marginTrend: TrendData = {
	hours: { label: 'engine hours', unit: 'h', low: 1200, high: 1900, digits: 0 },
	margin: { label: 'margin', unit: '°C', low: -10, high: 40, digits: 0, isSigned: true },
	points: [1220, 1310, 1395, 1480, 1570].map((atHours, index) => {
		const value = 31 - index * 2.4 + (index % 2) * 2;
		return { atHours, value, low95: value - 5, high95: value + 5 };
	}),
	ahead: [1570, 1680, 1790, 1900].map((atHours, index) => {
		const value = 21 - index * 3;
		return { atHours, value, low95: value - 4 - index * 4, high95: value + 4 + index * 4 };
	}),
	wallAt: 0,
	forbidden: 'below',
};
