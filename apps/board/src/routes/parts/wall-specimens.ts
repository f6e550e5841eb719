import type { WallRow } from '$lib/parts/wall/wall.view.js';

// Invented numbers of an invented aircraft.
const ips = { unit: 'ips', digits: 2, limit: { kind: 'at-most', limit: 0.2 }, goal: 0.1 } as const;

/** One row in each state of the wall, in the order of a flight. */
export const wallRows: readonly WallRow[] = [
	{
		...ips,
		id: 'ground',
		label: 'ground lateral',
		reading: { state: 'inside', value: 0.08, low95: 0.04, high95: 0.12 },
	},
	{
		...ips,
		id: 'hover',
		label: 'hover lateral',
		reading: { state: 'outside', value: 0.26, low95: 0.22, high95: 0.3 },
		sureness: 'more than 99 in 100',
	},
	{
		...ips,
		id: 'kt60',
		label: '60 kt lateral',
		reading: { state: 'near-outside', value: 0.203, low95: 0.165, high95: 0.241 },
		sureness: 'about 6 in 10 truly above',
	},
	{
		...ips,
		id: 'kt80',
		label: '80 kt lateral',
		reading: { state: 'near-inside', value: 0.19, low95: 0.152, high95: 0.228 },
		sureness: 'about 3 in 10 truly above',
	},
	{ ...ips, id: 'kt100', label: '100 kt lateral', reading: { state: 'stale', value: 0.12, low95: 0.08, high95: 0.16 } },
	{
		...ips,
		id: 'kt110',
		label: '110 kt lateral',
		reading: {
			state: 'differing',
			first: { pen: 'pilot', value: 0.1, low95: 0.07, high95: 0.12 },
			second: { pen: 'engineer', value: 0.13, low95: 0.12, high95: 0.16 },
		},
	},
	{
		...ips,
		id: 'kt120',
		label: '120 kt lateral',
		reading: { state: 'off-condition', value: 0.14, low95: 0.1, high95: 0.18 },
	},
	{ ...ips, id: 'descent', label: 'descent lateral', reading: { state: 'missing' } },
	{
		id: 'turn',
		label: 'turn time',
		unit: 's',
		digits: 1,
		limit: { kind: 'band', low: 1.5, high: 3 },
		goal: 2.25,
		reading: { state: 'inside', value: 2.1, low95: 1.9, high95: 2.3 },
	},
	{
		id: 'pedal',
		label: 'pedal, still air',
		unit: '%',
		digits: 1,
		isSigned: true,
		limit: { kind: 'band', low: -5, high: 5 },
		goal: 0,
		reading: { state: 'near-outside', value: -5.6, low95: -7.4, high95: -3.8 },
		sureness: 'about 7 in 10 truly below',
	},
	{
		id: 'bleed',
		label: 'engine bleed rise',
		unit: '°C',
		digits: 0,
		limit: { kind: 'at-most', limit: 30 },
		goal: null,
		reading: { state: 'cannot-judge', reason: 'torque fell by 4 %, fly it again' },
	},
	{
		...ips,
		id: 'two-past',
		label: 'autorotation',
		reading: {
			state: 'differing',
			first: { pen: 'pilot', value: 0.24, low95: 0.19, high95: 0.26 },
			second: { pen: 'support', value: 0.28, low95: 0.15, high95: 0.29 },
		},
	},
	{
		...ips,
		id: 'vertical',
		label: 'hover vertical',
		reading: { state: 'outside', value: 0.41, low95: 0.34, high95: 0.48 },
	},
];

/** Limits of one cockpit step, each with its condition in words. */
export const stepLimits: readonly WallRow[] = [
	{
		id: 'torque-fast',
		label: 'torque, above 40 kt',
		unit: '%',
		digits: 1,
		limit: { kind: 'at-most', limit: 92.7 },
		goal: null,
		isNow: true,
		reading: { state: 'inside', value: 63, low95: 62, high95: 64 },
	},
	{
		id: 'torque-slow',
		label: 'torque, to 40 kt',
		unit: '%',
		digits: 1,
		limit: { kind: 'at-most', limit: 100 },
		goal: null,
		reading: { state: 'missing' },
	},
	{
		id: 'rotor',
		label: 'rotor speed, power on',
		unit: '%',
		digits: 0,
		limit: { kind: 'band', low: 98, high: 103 },
		goal: null,
		reading: { state: 'inside', value: 100, low95: 99.6, high95: 100.4 },
	},
];

export const cockpitReadings: readonly WallRow[] = [
	{ ...ips, id: 'lat', label: 'lateral', reading: { state: 'inside', value: 0.14, low95: 0.1, high95: 0.18 } },
	{ ...ips, id: 'vert', label: 'vertical', reading: { state: 'missing' } },
];
