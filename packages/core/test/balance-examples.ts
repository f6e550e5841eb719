import type { Proposal, Proposals, Reading, RotorProblem, Run } from '../src/balance/index.js';
import { solveRotor } from '../src/balance/index.js';
import { okValue } from './published-vectors.js';

/** The example of the contract (docs/formats, rotor problem): three plates and one channel; invented data. */
export const contractExample: RotorProblem = {
	format: 'stillmast/rotor@1',
	rotor: {
		id: 'main',
		rpm: 390,
		blades: [
			{ id: 'A', passAngleDeg: 0 },
			{ id: 'B', passAngleDeg: 120 },
			{ id: 'C', passAngleDeg: 240 },
		],
		meanChangeLimit: {},
	},
	channels: [
		{ id: 'hover/lat', regime: 'hover', station: 'lat', limitIps: 0.2, goalIps: 0.1, stopIps: 1.0, weight: 1 },
	],
	adjusters: ['A', 'B', 'C'].map((blade, n) => ({
		id: `plate-${blade}`,
		kind: 'plate',
		blade,
		passAngleDeg: 120 * n,
		min: 0,
		max: 8,
		step: 1,
		unit: 'plate',
		effort: 1,
	})),
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

const regimes = [
	{ id: 'hover', tab: 0.004, link: 0.02 },
	{ id: 'speed', tab: 0.05, link: 0.035 },
];

/** Invented: plates, tabs and links on three blades (blade A keeps its tab and link), two regimes at two stations. */
export const threeBlades: RotorProblem = {
	...contractExample,
	rotor: { ...contractExample.rotor, meanChangeLimit: { link: 1 } },
	channels: regimes.flatMap(({ id: regime }) =>
		['lat', 'vert'].map((station) => ({
			id: `${regime}/${station}`,
			regime,
			station,
			limitIps: 0.2,
			goalIps: 0.1,
			stopIps: 1,
		})),
	),
	adjusters: [
		...contractExample.adjusters,
		...['B', 'C'].flatMap((blade, n) => [
			{
				id: `tab-${blade}`,
				kind: 'tab',
				blade,
				passAngleDeg: 120 * (n + 1),
				min: -4,
				max: 4,
				step: 0.5,
				unit: 'deg',
				effort: 2,
				settingSd: 0,
			},
			{
				id: `link-${blade}`,
				kind: 'link',
				blade,
				passAngleDeg: 120 * (n + 1),
				min: -8,
				max: 8,
				step: 1,
				unit: 'flat',
				effort: 3,
				rotorRpmPctPerUnit: -0.6,
			},
		]),
	],
	coefficients: regimes.flatMap(({ id, tab, link }) => [
		{ channel: `${id}/lat`, kind: 'plate', amplitudeIpsPerUnit: 0.05, phaseDeg: 30, sdRelative: 0.3 },
		{ channel: `${id}/vert`, kind: 'plate', amplitudeIpsPerUnit: 0.005, phaseDeg: 200, sdRelative: 0.3 },
		{ channel: `${id}/lat`, kind: 'tab', amplitudeIpsPerUnit: tab / 4, phaseDeg: 75, sdRelative: 0.3 },
		{ channel: `${id}/vert`, kind: 'tab', amplitudeIpsPerUnit: tab, phaseDeg: 260, sdRelative: 0.3 },
		{ channel: `${id}/lat`, kind: 'link', amplitudeIpsPerUnit: link / 4, phaseDeg: 50, sdRelative: 0.3 },
		{ channel: `${id}/vert`, kind: 'link', amplitudeIpsPerUnit: link, phaseDeg: 240, sdRelative: 0.3 },
	]),
	stock: {},
	runs: [
		{
			id: 'r1',
			settings: {},
			readings: {
				'hover/lat': { amplitudeIps: 0.31, phaseDeg: 118 },
				'hover/vert': { amplitudeIps: 0.12, phaseDeg: 20 },
				'speed/lat': { amplitudeIps: 0.27, phaseDeg: 130 },
				'speed/vert': { amplitudeIps: 0.24, phaseDeg: 45 },
			},
		},
	],
};

/** Levels of a rotor that answers `factor` times as the table says and began as `first` reads; no scatter. */
export function levelsOf(
	problem: RotorProblem,
	first: Run,
	settings: Readonly<Record<string, number>>,
	factor: (kind: string) => { readonly gain: number; readonly phaseDeg: number } = () => ({ gain: 1, phaseDeg: 0 }),
): Record<string, Reading> {
	const rad = Math.PI / 180;
	return Object.fromEntries(
		problem.channels.map((channel): [string, Reading] => {
			const start = first.readings[channel.id]!;
			let re = start.amplitudeIps * Math.cos((start.phaseDeg ?? 0) * rad);
			let im = start.amplitudeIps * Math.sin((start.phaseDeg ?? 0) * rad);
			for (const adjuster of problem.adjusters) {
				const moved = (settings[adjuster.id] ?? 0) - (first.settings?.[adjuster.id] ?? 0);
				const c = problem.coefficients.find((o) => o.channel === channel.id && o.kind === adjuster.kind);
				if (!c || moved === 0) continue;
				const { gain, phaseDeg } = factor(adjuster.kind);
				const angle = (c.phaseDeg + adjuster.passAngleDeg + phaseDeg) * rad;
				re += moved * gain * c.amplitudeIpsPerUnit * Math.cos(angle);
				im += moved * gain * c.amplitudeIpsPerUnit * Math.sin(angle);
			}
			return [channel.id, { amplitudeIps: Math.hypot(re, im), phaseDeg: Math.atan2(im, re) / rad }];
		}),
	);
}

export function solved(problem: RotorProblem): Proposals {
	return okValue(solveRotor(problem, { draws: 1000 }));
}

/** The proposal with this many changes. */
export function touching(answer: Proposals, touches: number): Proposal {
	const found = answer.proposals.find((p) => p.touches === touches);
	if (!found) throw new Error(`no proposal with ${touches} changes`);
	return found;
}

/** The recommended proposal. */
export function recommendedOf(answer: Proposals): Proposal {
	return answer.proposals[answer.recommended ?? Number.NaN]!;
}
