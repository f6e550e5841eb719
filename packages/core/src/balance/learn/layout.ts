import { turnBy } from '../../phasor/index.js';
import type { Adjuster, Channel, Reading, RotorProblem, Run } from '../model.js';

/**
 * The problem as arrays for the estimator: kinds, channels and adjusters by number, complex values as re, im pairs.
 * Settings are counted from those of the first run used, which is where the starting fault is seen.
 */
export interface RotorLayout {
	readonly problem: RotorProblem;
	readonly kinds: readonly string[];
	readonly channels: readonly Channel[];
	readonly adjusters: readonly Adjuster[];
	readonly kindOf: readonly number[];
	/** Table coefficient of (channel k, kind m) at 2·(k·kinds + m). */
	readonly table: Float64Array;
	/** scale·exp(i·passAngle) of adjuster j at 2·j. */
	readonly turn: Float64Array;
	/** Relative sd per axis of (channel, kind) as stated. */
	readonly sdRelative: Float64Array;
	readonly runs: readonly RunLayout[];
	/** Settings of the first run used, or of nothing at all: 0. */
	readonly reference: Float64Array;
	/** Changes whose true setting is uncertain, in the order made. */
	readonly bends: readonly Bend[];
}

export interface RunLayout {
	readonly run: Run;
	/** Settings less the reference, per adjuster. */
	readonly moved: Float64Array;
	/** Readings by channel number; null where the channel was not read. */
	readonly readings: readonly (Reading | null)[];
	/** Per adjuster, the bend in force, or −1. */
	readonly bendOf: Int32Array;
}

/** A setting that was changed on a part that does not hold exactly what was set. */
export interface Bend {
	readonly adjuster: number;
	readonly sd: number;
}

/** A bent tab springs back by about this much (docs/methods/balance.md; common practice). */
const tabSettingSdDeg = 0.25;

export function settingSdOf(adjuster: Adjuster): number {
	return adjuster.settingSd ?? (adjuster.kind === 'tab' ? tabSettingSdDeg : 0);
}

/** Whether channel k was read in any run used. What never was can't be chosen for, nor promised. */
export function wasRead(layout: RotorLayout, k: number): boolean {
	return layout.runs.some((run) => run.readings[k] !== null);
}

export function layOut(problem: RotorProblem, runs: readonly Run[]): RotorLayout {
	const { channels, adjusters, coefficients } = problem;
	const kinds = [...new Set(coefficients.map((c) => c.kind))];
	const kindOf = adjusters.map((a) => kinds.indexOf(a.kind));
	const channelNumber = new Map(channels.map((c, k) => [c.id, k]));
	const table = new Float64Array(2 * channels.length * kinds.length);
	const sdRelative = new Float64Array(channels.length * kinds.length);
	for (const c of coefficients) {
		const at = channelNumber.get(c.channel)! * kinds.length + kinds.indexOf(c.kind);
		const unit = turnBy(c.phaseDeg);
		table[2 * at] = c.amplitudeIpsPerUnit * unit.re;
		table[2 * at + 1] = c.amplitudeIpsPerUnit * unit.im;
		sdRelative[at] = c.sdRelative;
	}
	const turn = new Float64Array(2 * adjusters.length);
	for (const [j, a] of adjusters.entries()) {
		const unit = turnBy(a.passAngleDeg);
		turn[2 * j] = (a.scale ?? 1) * unit.re;
		turn[2 * j + 1] = (a.scale ?? 1) * unit.im;
	}
	const settingsOf = (run: Run): Float64Array => Float64Array.from(adjusters, (a) => run.settings?.[a.id] ?? 0);
	const reference = runs[0] ? settingsOf(runs[0]) : new Float64Array(adjusters.length);
	const bends: Bend[] = [];
	let before = reference;
	let bendOf = new Int32Array(adjusters.length).fill(-1);
	const laidRuns = runs.map((run): RunLayout => {
		const settings = settingsOf(run);
		bendOf = bendOf.slice();
		for (const [j, a] of adjusters.entries()) {
			const sd = settingSdOf(a);
			if (settings[j] === before[j] || sd <= 0 || kindOf[j]! < 0) continue;
			bendOf[j] = bends.length;
			bends.push({ adjuster: j, sd });
		}
		before = settings;
		return {
			run,
			moved: settings.map((s, j) => s - reference[j]!),
			readings: channels.map((c) => run.readings[c.id] ?? null),
			bendOf,
		};
	});
	return { problem, kinds, channels, adjusters, kindOf, table, turn, sdRelative, runs: laidRuns, reference, bends };
}
