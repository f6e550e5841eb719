import type { Proposals, RotorProblem } from '@stillmast/core/balance';

/** Invented three-blade rotor with one channel: the contract's example. */
const plate = (blade: string, passAngleDeg: number) => ({
	id: `plate-${blade}`,
	kind: 'plate',
	blade,
	passAngleDeg,
	min: 0,
	max: 8,
	step: 1,
	unit: 'plate',
	effort: 1,
});

export const exampleRotor: RotorProblem = {
	format: 'stillmast/rotor@1',
	rotor: {
		id: 'main',
		rpm: 390,
		blades: [
			{ id: 'A', passAngleDeg: 0 },
			{ id: 'B', passAngleDeg: 120 },
			{ id: 'C', passAngleDeg: 240 },
		],
		meanChangeLimit: { link: 0.5 },
	},
	channels: [{ id: 'hover/lat', regime: 'hover', station: 'lat', limitIps: 0.2, goalIps: 0.1, stopIps: 1, weight: 1 }],
	adjusters: [plate('A', 0), plate('B', 120), plate('C', 240)],
	coefficients: [{ channel: 'hover/lat', kind: 'plate', amplitudeIpsPerUnit: 0.06, phaseDeg: 35, sdRelative: 0.3 }],
	noise: { sdIps: 0.02, sdRelative: 0.06, commonShare: 0.3 },
	runs: [
		{
			id: 'r1',
			settings: { 'plate-A': 0, 'plate-B': 0, 'plate-C': 0 },
			readings: { 'hover/lat': { amplitudeIps: 0.31, phaseDeg: 118, sdIps: 0.004 } },
			use: true,
		},
	],
	locked: [],
	stock: { plate: 12 },
	untouchedBlade: null,
	objective: 'worst-ratio',
};

/** Invented answer, to test how it is printed and passed on. */
export const exampleProposals: Proposals = {
	format: 'stillmast/proposals@1',
	state: {
		run: 'r1',
		worstRatioToLimit: 1.55,
		worstRatioToGoal: 3.1,
		withinLimit: false,
		withinGoal: false,
		unread: [],
	},
	proposals: [
		{
			touches: 2,
			settings: { 'plate-A': 2, 'plate-B': 0, 'plate-C': 6 },
			changes: [
				{ adjuster: 'plate-A', from: 0, to: 2, words: 'Blade A: add 2 plates (0 to 2)' },
				{ adjuster: 'plate-C', from: 0, to: 6, words: 'Blade C: add 6 plates (0 to 6)' },
			],
			predicted: {
				'hover/lat': {
					amplitudeIps: 0.023,
					phaseDeg: 225,
					sdIps: 0.05,
					low95Ips: 0.0112,
					high95Ips: 0.1699,
					chanceWithinLimit: 0.98,
					chanceWithinGoal: 0.7,
					chanceTrueLevelWithinLimit: 0.99,
				},
			},
			worstRatioToGoal: 0.8,
			lowerBound: 0.8,
			chanceAllWithinLimit: 0.97,
			chanceAllWithinGoal: 0.6,
			meanChange: {},
			rotorRpmPct: null,
			makesStale: ['vibration'],
			buildUp: [],
			proved: true,
			disputed: false,
		},
	],
	recommended: 0,
	learned: [
		{
			kind: 'plate',
			gain: 1,
			gain95: [0.5, 1.5],
			phaseErrorDeg: 0,
			phaseError95: [-30, 30],
			words: 'plate as the table',
		},
	],
	unreachable: { 'hover/lat': { amplitudeIps: 0, low95Ips: 0, high95Ips: 0.05 } },
	inspect: [],
	audit: null,
	alternative: null,
	lineOnly: [],
	unused: [],
	trial: null,
};
