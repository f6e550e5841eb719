import type { ChoiceProblem } from '../../src/balance/choice/types.js';

/**
 * An invented rotor to choose settings for: K = 12 channels (lateral and vertical, six regimes from hub speed to 130 kt),
 * one mass point per blade (0 to 8 plates, at most 10 in all), a tab (±10 steps) and a pitch link (±6 flats) on every
 * blade but the first. Shape and sizes follow the three-blade case most single-rotor checks have; effects scatter by
 * 10 % and 0.12 rad about their kind, tabs grow with dynamic pressure, and the fault is mostly what the adjusters correct.
 */
export interface DiscreteRotor {
	readonly blades: number;
	/** Starting reading per channel, real and imaginary part, ips. */
	readonly start: readonly (readonly [number, number])[];
	/** Effect of one unit per channel and adjuster, ips. */
	readonly effect: readonly (readonly (readonly [number, number])[])[];
	readonly low: readonly number[];
	readonly high: readonly number[];
}

export const PLATES_AT_MOST = 10;
const SPEEDS_KT = [0, 0, 40, 80, 110, 130];
const GOAL_IPS = 0.1;

/** @param uniform numbers in [0, 1), seeded */
export function discreteRotor(blades: number, uniform: () => number): DiscreteRotor {
	const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
	const free = blades - 1;
	const axisPhase = [2 * Math.PI * uniform(), 2 * Math.PI * uniform()];
	const blade = (index: number) => (2 * Math.PI * index) / blades;
	const wobbled = (size: number, angle: number): [number, number] => {
		const amplitude = size * (1 + 0.1 * normal());
		const phase = angle + 0.12 * normal();
		return [amplitude * Math.cos(phase), amplitude * Math.sin(phase)];
	};
	const truth = [
		...Array.from({ length: blades }, (_, index) => (index < 2 ? 4.8 * uniform() : 0)),
		...Array.from({ length: free }, () => 14 * (uniform() - 0.5)),
		...Array.from({ length: free }, () => 9 * (uniform() - 0.5)),
	];
	const effect: [number, number][][] = [];
	const start: [number, number][] = [];
	for (let k = 0; k < 12; k++) {
		const vertical = k >= 6;
		const phase = axisPhase[vertical ? 1 : 0]!;
		const speed = SPEEDS_KT[k % 6]!;
		const pressure = (speed / 110) ** 2;
		const row: [number, number][] = [];
		for (let j = 0; j < blades; j++) row.push(wobbled(vertical ? 0.004 : 0.035, phase + blade(j)));
		for (let j = 1; j <= free; j++)
			row.push(wobbled((vertical ? 0.012 : 0.003) * pressure + 1e-4, phase + blade(j) + 0.6));
		for (let j = 1; j <= free; j++) {
			row.push(wobbled((vertical ? 0.022 : 0.006) * (0.6 + (0.4 * speed) / 110), phase + blade(j) + 0.3));
		}
		effect.push(row);
		start.push(
			[0, 1].map((part) => row.reduce((sum, value, j) => sum - value[part]! * truth[j]!, 0.025 * normal())) as [
				number,
				number,
			],
		);
	}
	const fill = (plates: number, tab: number, link: number) => [
		...new Array<number>(blades).fill(plates),
		...new Array<number>(free).fill(tab),
		...new Array<number>(free).fill(link),
	];
	return { blades, start, effect, low: fill(0, -10, -6), high: fill(8, 10, 6) };
}

/** The rotor as a choice of settings, in units of a goal of 0.1 ips, for one number of touches. */
export function asChoice(rotor: DiscreteRotor, touches: number): ChoiceProblem {
	return {
		terms: rotor.start.map((reading, k) => ({
			id: `channel ${k}`,
			rows: [0, 1].map((part) => rotor.effect[k]!.map((value) => value[part]! / GOAL_IPS)),
			offset: reading.map((value) => value / GOAL_IPS),
		})),
		variables: rotor.low.map((low, j) => ({
			id: `adjuster ${j}`,
			kind: j < rotor.blades ? 'plate' : 'blade',
			current: 0,
			allowed: Array.from({ length: rotor.high[j]! - low + 1 }, (_, i) => low + i),
			effort: 1,
			mass: j < rotor.blades ? 1 : 0,
		})),
		constraints: [{ coefficients: rotor.low.map((_, j) => (j < rotor.blades ? 1 : 0)), atMost: PLATES_AT_MOST }],
		maxTouches: rotor.low.length,
		touchCounts: [touches],
		objective: 'worst',
	};
}

/**
 * The same as a mixed-integer linear program in LP text, each |reading| replaced by `sides` half-planes: its optimum t
 * obeys t ≤ worst reading ≤ t / cos(π / sides).
 */
export function asLinearProgram(rotor: DiscreteRotor, sides: number, touches: number): string {
	const count = rotor.low.length;
	const number = (value: number) => `${value < 0 ? '-' : '+'} ${Math.abs(value).toPrecision(12)}`;
	const sum = (weights: readonly number[], names: (j: number) => string) =>
		weights.map((weight, j) => `${number(weight)} ${names(j)}`).join(' ');
	const lines = ['Minimize', ' obj: t', 'Subject To'];
	rotor.start.forEach((reading, k) => {
		for (let side = 0; side < sides; side++) {
			const c = Math.cos((2 * Math.PI * side) / sides);
			const s = Math.sin((2 * Math.PI * side) / sides);
			const weights = rotor.effect[k]!.map(([re, im]) => c * re + s * im);
			const right = -(c * reading[0]! + s * reading[1]!);
			lines.push(` r${k}_${side}: ${sum(weights, (j) => `x${j}`)} - t <= ${right.toPrecision(12)}`);
		}
	});
	const plates = rotor.low.map((_, j) => j).filter((j) => j < rotor.blades);
	lines.push(` plates: ${plates.map((j) => `x${j}`).join(' + ')} <= ${PLATES_AT_MOST}`);
	const limited = touches < count;
	if (limited) {
		for (let j = 0; j < count; j++) {
			lines.push(` up${j}: x${j} - ${rotor.high[j]!} b${j} <= 0`);
			if (rotor.low[j]! < 0) lines.push(` down${j}: x${j} + ${-rotor.low[j]!} b${j} >= 0`);
		}
		lines.push(` touches: ${rotor.low.map((_, j) => `b${j}`).join(' + ')} <= ${touches}`);
	}
	lines.push('Bounds', ' t >= 0', ...rotor.low.map((low, j) => ` ${low} <= x${j} <= ${rotor.high[j]!}`));
	lines.push('General', ` ${rotor.low.map((_, j) => `x${j}`).join(' ')}`);
	if (limited) lines.push('Binary', ` ${rotor.low.map((_, j) => `b${j}`).join(' ')}`);
	return [...lines, 'End', ''].join('\n');
}

/** Largest reading of these settings over the goal. */
export function worstOverGoal(rotor: DiscreteRotor, settings: readonly number[]): number {
	return Math.max(
		...rotor.start.map((reading, k) => {
			const [re, im] = [0, 1].map((part) =>
				rotor.effect[k]!.reduce((sum, value, j) => sum + value[part]! * settings[j]!, reading[part]!),
			) as [number, number];
			return Math.hypot(re, im) / GOAL_IPS;
		}),
	);
}
