import type { Adjuster, Coefficient, KindPrior, Reading, RotorProblem, Run } from '../../src/balance/index.js';
import { type RotorShape, TAB_SPRINGBACK_SD_DEG } from './rotor-shape.js';
import type { Seeded } from './seeded.js';

export type Complex = readonly [re: number, im: number];

/** How wrong the table is for a tail, 1 sd of the whole error of a coefficient, and what else is in the truth. */
export interface Wrongness {
	readonly gainSd: number;
	readonly phaseSdDeg: number;
	/** Share of the true error size that the problem states; 1 is honest. */
	readonly statedShare: number;
	/** Sd per axis of the part of the fault that no adjuster makes, ips. */
	readonly remainderSdIps: number;
	/** Amplitude of a defect in one channel that no adjuster reaches, ips; 0 for none. */
	readonly defectIps: number;
}

/** Errors of the table per kind that all tails of a type share, when there is a fleet. */
export type CommonErrors = Readonly<Record<string, { gain: number; phaseDeg: number }>>;

/** A rotor as it truly is. Nothing of this is shown to a strategy but by flying. */
export interface SimulatedRotor {
	readonly shape: RotorShape;
	/** True effect per channel and adjuster, ips per unit. */
	readonly effect: readonly (readonly Complex[])[];
	/** Level per channel with every setting as found, ips. */
	readonly base: readonly Complex[];
	/** Part of the base that no adjuster makes. */
	readonly remainder: readonly Complex[];
	readonly found: Readonly<Record<string, number>>;
	/** Stated with the problem. */
	readonly statedSdRelative: number;
}

/** Shares of the error variance in the truth; the solver assumes others (0.80, 0.15, 0.05). */
const SHARES = { common: 0.75, channel: 0.17, adjuster: 0.08 } as const;
/** Run-to-run scatter per axis: fixed, share of the level, and how much of its variance a whole run has in common. */
export const NOISE = { sdIps: 0.01, sdRelative: 0.05, commonShare: 0.3, withinSdIps: 0.003 } as const;

/** Draws a tail. With `common` given, its common errors are drawn around those of the type by `amongTails`. */
export function drawRotor(
	shape: RotorShape,
	wrong: Wrongness,
	random: Seeded,
	fleet?: { readonly common: CommonErrors; readonly gainSd: number; readonly phaseSdDeg: number },
): SimulatedRotor {
	const kinds = [...new Set(shape.adjusters.map((adjuster) => adjuster.kind))];
	const common = fleet
		? commonErrors(kinds, fleet.gainSd, fleet.phaseSdDeg, random, fleet.common)
		: commonErrors(kinds, wrong.gainSd * Math.sqrt(SHARES.common), wrong.phaseSdDeg * Math.sqrt(SHARES.common), random);
	const part = (share: number) => error(wrong.gainSd * Math.sqrt(share), wrong.phaseSdDeg * Math.sqrt(share), random);
	const ofAdjuster = shape.adjusters.map(() => part(SHARES.adjuster));
	const effect = shape.channels.map((channel) => {
		const ofKind = new Map(kinds.map((kind) => [kind, part(SHARES.channel)]));
		return shape.adjusters.map((adjuster, j): Complex => {
			const row = shape.table.find((entry) => entry.channel === channel.id && entry.kind === adjuster.kind)!;
			const errors = [common[adjuster.kind]!, ofKind.get(adjuster.kind)!, ofAdjuster[j]!];
			const gain = errors.reduce((product, one) => product * one.gain, row.amplitudeIpsPerUnit);
			const phaseDeg = errors.reduce((sum, one) => sum + one.phaseDeg, row.phaseDeg + adjuster.passAngleDeg);
			return polar(gain, phaseDeg);
		});
	});
	const found = Object.fromEntries(
		shape.adjusters.map(({ id, kind }) => [id, isMass(kind) ? 3 + Math.floor(5 * random.uniform()) : 0]),
	);
	// The settings that would be right lie within the allowed range, so that every tail can be corrected by somebody who
	// knows it; tabs and links are out against the reference blade.
	const fault = shape.adjusters.map((adjuster) => {
		if (adjuster.blade === shape.untouchedBlade && !isMass(adjuster.kind)) return 0;
		const right = found[adjuster.id]! + shape.faultSd[adjuster.kind]! * random.normal();
		return found[adjuster.id]! - Math.min(Math.max(right, adjuster.min), adjuster.max);
	});
	const defect = Math.floor(random.uniform() * shape.channels.length);
	const remainder = shape.channels.map((_, k): Complex => {
		const [re, im] = k === defect ? polar(wrong.defectIps, 360 * random.uniform()) : [0, 0];
		return [re + wrong.remainderSdIps * random.normal(), im + wrong.remainderSdIps * random.normal()];
	});
	const base = effect.map((row, k) => sumOf(row, fault, remainder[k]!));
	const phaseRad = (wrong.phaseSdDeg * Math.PI) / 180;
	const statedSdRelative = wrong.statedShare * Math.sqrt((wrong.gainSd ** 2 + phaseRad ** 2) / 2);
	return { shape, effect, base, remainder, found, statedSdRelative };
}

function isMass(kind: string): boolean {
	return kind === 'plate' || kind === 'screw';
}

/** Errors common to each kind, around those given. */
export function commonErrors(
	kinds: readonly string[],
	gainSd: number,
	phaseSdDeg: number,
	random: Seeded,
	around?: CommonErrors,
): CommonErrors {
	return Object.fromEntries(
		kinds.map((kind) => {
			const own = error(gainSd, phaseSdDeg, random);
			const mean = around?.[kind] ?? { gain: 1, phaseDeg: 0 };
			return [kind, { gain: mean.gain * own.gain, phaseDeg: mean.phaseDeg + own.phaseDeg }];
		}),
	);
}

/** A gain that never turns negative and never vanishes, and a phase. */
function error(gainSd: number, phaseSdDeg: number, random: Seeded): { gain: number; phaseDeg: number } {
	return { gain: Math.max(0.15, 1 + gainSd * random.normal()), phaseDeg: phaseSdDeg * random.normal() };
}

export function polar(amplitude: number, phaseDeg: number): Complex {
	const angle = (phaseDeg * Math.PI) / 180;
	return [amplitude * Math.cos(angle), amplitude * Math.sin(angle)];
}

function sumOf(row: readonly Complex[], weights: readonly number[], start: Complex): Complex {
	return row.reduce<Complex>(([re, im], [a, b], j) => [re + a * weights[j]!, im + b * weights[j]!], start);
}

/** Level per channel at these settings, tabs as they truly stand. */
export function levelsAt(
	rotor: SimulatedRotor,
	settings: Readonly<Record<string, number>>,
	springback: readonly number[],
): Complex[] {
	const moved = rotor.shape.adjusters.map(({ id }, j) => settings[id]! - rotor.found[id]! + springback[j]!);
	return rotor.effect.map((row, k) => sumOf(row, moved, rotor.base[k]!));
}

/** Bends the tabs that changed: what was bent before stays as it stands. */
export function bend(
	adjusters: readonly Adjuster[],
	springback: readonly number[],
	from: Readonly<Record<string, number>>,
	to: Readonly<Record<string, number>>,
	random: Seeded,
): number[] {
	return adjusters.map(({ id, kind }, j) =>
		kind === 'tab' && from[id] !== to[id] ? TAB_SPRINGBACK_SD_DEG * random.normal() : springback[j]!,
	);
}

/** Flies one run: scatter from run to run, partly common to all channels, and within the run. */
export function fly(
	rotor: SimulatedRotor,
	id: string,
	settings: Readonly<Record<string, number>>,
	levels: readonly Complex[],
	random: Seeded,
): Run {
	const gust: Complex = [random.normal(), random.normal()];
	const readings: Record<string, Reading> = {};
	rotor.shape.channels.forEach((channel, k) => {
		const level = levels[k]!;
		const between = Math.hypot(NOISE.sdIps, NOISE.sdRelative * Math.hypot(...level));
		const [re, im] = level.map((value, axis) => {
			const scatter = Math.sqrt(NOISE.commonShare) * gust[axis]! + Math.sqrt(1 - NOISE.commonShare) * random.normal();
			return value + between * scatter + NOISE.withinSdIps * random.normal();
		}) as [number, number];
		readings[channel.id] = {
			amplitudeIps: Math.hypot(re, im),
			phaseDeg: ((Math.atan2(im, re) * 180) / Math.PI + 360) % 360,
			sdIps: NOISE.withinSdIps,
		};
	});
	return { id, settings, readings };
}

/** What a strategy is told: the type's table, what is stated of its error, and the runs. */
export function problemOf(rotor: SimulatedRotor, runs: readonly Run[], priors?: readonly KindPrior[]): RotorProblem {
	const { shape } = rotor;
	const letters = shape.bladeAnglesDeg.map((_, i) => String.fromCharCode(65 + i));
	return {
		format: 'stillmast/rotor@1',
		rotor: {
			id: shape.id,
			rpm: shape.rpm,
			blades: shape.bladeAnglesDeg.map((passAngleDeg, i) => ({ id: letters[i]!, passAngleDeg })),
		},
		channels: shape.channels,
		adjusters: shape.adjusters,
		coefficients: shape.table.map((row): Coefficient => ({ ...row, sdRelative: rotor.statedSdRelative })),
		noise: NOISE,
		runs,
		untouchedBlade: shape.untouchedBlade,
		...(priors === undefined ? {} : { priors }),
	};
}
