import type { RotorBarb, RotorBlade, RotorSheet } from '$lib/parts/rotor/rotor-sheet.js';

// Invented readings of an invented three-bladed and five-bladed rotor.
const round = (sd: number) => ({ xx: sd * sd, xy: 0, yy: sd * sd });

export const ouzelBlades: readonly RotorBlade[] = [
	{
		id: 'A',
		letter: 'A',
		name: 'red sleeve',
		passAngleDeg: 0,
		plates: { onAircraft: 2, tried: 3 },
		tabDeg: { onAircraft: 0.5, tried: 0.5 },
		linkFlats: { onAircraft: 0, tried: 0 },
	},
	{
		id: 'B',
		letter: 'B',
		name: 'blue sleeve',
		passAngleDeg: 120,
		plates: { onAircraft: 0, tried: 0 },
		tabDeg: { onAircraft: -1, tried: -1 },
		linkFlats: { onAircraft: 2, tried: 2 },
	},
	{
		id: 'C',
		letter: 'C',
		name: 'yellow sleeve',
		passAngleDeg: 240,
		plates: { onAircraft: 4, tried: 3 },
		tabDeg: { onAircraft: 0, tried: 1.5 },
		linkFlats: { onAircraft: -1, tried: -1 },
	},
];

const barbs = (basis: 'learned' | 'table'): readonly RotorBarb[] =>
	[0, 120, 240].map((angle, index) => ({
		bladeId: 'ABC'[index] ?? 'A',
		amplitude: 0.06,
		phaseDeg: angle + 35,
		basis: index === 2 ? 'table' : basis,
	}));

const common = { unit: 'ips', digits: 2, turns: 'anticlockwise', seen: 'from-above', limit: 0.2, goal: 0.1 } as const;

export const hoverSheet: RotorSheet = {
	...common,
	id: 'hover',
	title: 'hover lateral',
	blades: ouzelBlades,
	readings: [
		{ id: 'r1', label: 'run 1', amplitude: 0.34, phaseDeg: 312, covariance: round(0.018) },
		{ id: 'r2', label: 'run 2', amplitude: 0.27, phaseDeg: 20, covariance: { xx: 0.0003, xy: 0.00012, yy: 0.0002 } },
		{ id: 'r3', label: 'run 3', amplitude: 0.22, phaseDeg: 78, covariance: { xx: 0.00014, xy: -0.00009, yy: 0.00026 } },
	],
	predicted: {
		id: 'next',
		label: 'next',
		amplitude: 0.07,
		phaseDeg: 150,
		covariance: { xx: 0.0009, xy: 0.0003, yy: 0.0007 },
	},
	barbs: barbs('learned'),
};

const sheetAt = (
	id: string,
	title: string,
	amplitude: number,
	phaseDeg: number,
	nextAmplitude: number,
): RotorSheet => ({
	...hoverSheet,
	id,
	title,
	readings: [
		{ id: 'r2', label: 'run 2', amplitude: amplitude * 1.4, phaseDeg: phaseDeg - 50, covariance: round(0.015) },
		{ id: 'r3', label: 'run 3', amplitude, phaseDeg, covariance: round(0.015) },
	],
	predicted: { id: 'next', label: 'next', amplitude: nextAmplitude, phaseDeg: phaseDeg + 60, covariance: round(0.02) },
});

export const sheetRow: readonly RotorSheet[] = [
	sheetAt('ground', 'ground lateral', 0.08, 210, 0.05),
	hoverSheet,
	sheetAt('kt80', '80 kt lateral', 0.19, 95, 0.1),
	sheetAt('kt100', '100 kt lateral', 0.12, 130, 0.16),
	sheetAt('kt120', '120 kt lateral', 0.15, 160, 0.08),
];

export const unsureSheet: RotorSheet = {
	...common,
	id: 'unsure',
	title: '80 kt vertical',
	turns: 'clockwise',
	blades: [0, 72, 144, 216, 288].map((passAngleDeg, index) => ({
		id: 'ABCDE'[index] ?? 'A',
		letter: 'ABCDE'[index] ?? 'A',
		name: null,
		passAngleDeg,
		plates: { onAircraft: index, tried: index },
		tabDeg: { onAircraft: index - 2, tried: index - 2 },
		linkFlats: index === 2 ? { onAircraft: 3, tried: 4 } : null,
	})),
	readings: [{ id: 'r1', label: 'run 1', amplitude: 0.02, phaseDeg: 40, covariance: round(0.02) }],
	predicted: { id: 'next', label: 'next', amplitude: 0.17, phaseDeg: 140, covariance: round(0.025) },
	barbs: [],
};
