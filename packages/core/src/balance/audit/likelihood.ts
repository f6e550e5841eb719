import { lowerTriangle } from '../../linear/index.js';
import { fromPolar, turnBy } from '../../phasor/index.js';
import { settingSdOf } from '../learn/layout.js';
import type { Reading, RotorProblem } from '../model.js';
import { type JointLevel, levelOf, type PartError, type PartShare } from '../predict/level.js';
import { partsAt } from '../predict/outlook.js';
import type { Forecast } from '../predict/predict.js';
import { nextScatter, readingsFrom } from '../predict/reading.js';
import type { Hypothesis } from './hypotheses.js';

/** A reading that has nothing to do with the level is spread this wide, in limits per axis. */
const unrelatedLimits = 2;

/** Channels of the audited run that carry a phase: only these can tell the hypotheses apart. */
export interface Evidence {
	readonly channels: readonly number[];
	/** re, im of each of them. */
	readonly seen: Float64Array;
}

export function evidenceOf(problem: RotorProblem, readings: Readonly<Record<string, Reading>>): Evidence {
	const channels = problem.channels
		.map((_, k) => k)
		.filter((k) => {
			const reading = readings[problem.channels[k]!.id];
			return reading !== undefined && reading.phaseDeg !== null && reading.phaseDeg !== undefined;
		});
	const seen = new Float64Array(2 * channels.length);
	for (const [n, k] of channels.entries()) {
		const reading = readings[problem.channels[k]!.id]!;
		const phasor = fromPolar(reading.amplitudeIps, reading.phaseDeg ?? 0);
		seen[2 * n] = phasor.re;
		seen[2 * n + 1] = phasor.im;
	}
	return { channels, seen };
}

/**
 * What the run would read if the hypothesis were true, under the model before it: one joint normal per member, over
 * all channels.
 */
export function readingsUnder(
	forecast: Forecast,
	before: Float64Array,
	after: Float64Array,
	hypothesis: Hypothesis,
): JointLevel[] {
	const levels = levelsUnder(forecast, before, after, hypothesis);
	const next = readingsFrom(levels, nextScatter(forecast.posterior, levels));
	return next.map((level) => actOn(forecast.posterior.layout.problem, level, hypothesis));
}

/** As `levelsAt`, with each recorded change turned or scaled as the hypothesis says. */
function levelsUnder(forecast: Forecast, before: Float64Array, after: Float64Array, h: Hypothesis): JointLevel[] {
	const { posterior, parts, outlooks } = forecast;
	const { adjusters } = posterior.layout;
	const shares: PartShare[] = Array.from(partsAt(posterior, parts, before), (re, part) => ({ part, re, im: 0 }));
	const errors: PartError[] = [];
	for (const [j, adjuster] of adjusters.entries()) {
		const step = after[j]! - before[j]!;
		const factor = h.change[j]!;
		if (step === 0 || isNothing(factor)) continue;
		const part = parts.adjusterPart(j);
		shares.push({ part, re: factor.re * step, im: factor.im * step });
		const bent = parts.bent.indexOf(j);
		if (bent >= 0) shares.push({ part: 1 + bent, re: -1, im: 0 });
		const sd = settingSdOf(adjuster);
		if (sd > 0) errors.push({ part, sd });
	}
	return outlooks.map((outlook) => levelOf(outlook, shares, errors));
}

function isNothing(factor: { readonly re: number; readonly im: number }): boolean {
	return factor.re === 0 && factor.im === 0;
}

/** What writing the reading down did to it. */
function actOn(problem: RotorProblem, level: JointLevel, { reading }: Hypothesis): JointLevel {
	const size = level.mean.length;
	switch (reading.act) {
		case 'none':
		case 'unlike-any':
			return level;
		case 'turned': {
			const turn = turnBy(reading.angleDeg);
			return mapped(level, (a, into) => {
				const k = a - (a & 1);
				into(k, (a & 1) === 0 ? turn.re : turn.im);
				into(k + 1, (a & 1) === 0 ? -turn.im : turn.re);
			});
		}
		case 'mirrored':
			return mapped(level, (a, into) => into(a, (a & 1) === 0 ? 1 : -1));
		case 'reversed':
			return mapped(level, (a, into) => into(a, problem.channels[a >> 1]!.station === reading.station ? -1 : 1));
		case 'swapped': {
			const partner = problem.channels.map((c, k) => {
				const at = reading.stations.indexOf(c.station);
				if (at < 0) return k;
				const other = reading.stations[1 - at];
				const found = problem.channels.findIndex((o) => o.regime === c.regime && o.station === other);
				return found < 0 ? k : found;
			});
			return mapped(level, (a, into) => into(2 * partner[a >> 1]! + (a & 1), 1));
		}
		case 'unrelated': {
			const k = problem.channels.findIndex((c) => c.id === reading.channel);
			const covariance = level.covariance.slice();
			const variance = (unrelatedLimits * problem.channels[k]!.limitIps) ** 2;
			covariance[2 * k * size + 2 * k]! += variance;
			covariance[(2 * k + 1) * size + 2 * k + 1]! += variance;
			return { ...level, covariance };
		}
	}
}

/** Mean and covariance under a linear map given by its rows. */
function mapped(level: JointLevel, row: (a: number, into: (from: number, factor: number) => void) => void): JointLevel {
	const size = level.mean.length;
	const rows = Array.from({ length: size }, (_, a) => {
		const entries: { from: number; factor: number }[] = [];
		row(a, (from, factor) => entries.push({ from, factor }));
		return entries;
	});
	const mean = new Float64Array(size);
	const covariance = new Float64Array(size * size);
	for (let a = 0; a < size; a++) {
		for (const i of rows[a]!) mean[a]! += i.factor * level.mean[i.from]!;
		for (let b = 0; b < size; b++) {
			let sum = 0;
			for (const i of rows[a]!)
				for (const j of rows[b]!) sum += i.factor * j.factor * level.covariance[i.from * size + j.from]!;
			covariance[a * size + b] = sum;
		}
	}
	return { weight: level.weight, mean, covariance };
}

/** log density of what was seen and the squared distance in standard deviations, under one joint normal. */
export function fitOf(level: JointLevel, evidence: Evidence): { logDensity: number; square: number; logRoot: number } {
	const { lower, offset, size } = reduced(level, evidence, evidence.seen);
	let square = 0;
	let logRoot = 0;
	for (let a = 0; a < size; a++) {
		square += offset[a]! ** 2;
		logRoot += Math.log(lower[a * size + a]!);
	}
	return { logDensity: -square / 2 - logRoot - (size / 2) * Math.log(2 * Math.PI), square, logRoot };
}

/**
 * How far apart two foretold readings are, in standard deviations of either: the distance of the means in the mean of
 * the two spreads, members taken together. Hypotheses under 1 apart are the same reading.
 */
export function separation(a: readonly JointLevel[], b: readonly JointLevel[], evidence: Evidence): number {
	const one = together(a);
	const other = together(b);
	const covariance = one.covariance.map((value, i) => (value + other.covariance[i]!) / 2);
	const there = Float64Array.from({ length: evidence.seen.length }, (_, i) => {
		return other.mean[2 * evidence.channels[i >> 1]! + (i & 1)]!;
	});
	const { offset } = reduced({ weight: 1, mean: one.mean, covariance }, evidence, there);
	return Math.sqrt(offset.reduce((sum, value) => sum + value * value, 0));
}

/** One normal with the mean and covariance of the mixture. */
export function together(levels: readonly JointLevel[]): JointLevel {
	const size = levels[0]!.mean.length;
	const mean = new Float64Array(size);
	const covariance = new Float64Array(size * size);
	for (const level of levels) for (let a = 0; a < size; a++) mean[a]! += level.weight * level.mean[a]!;
	for (const level of levels) {
		for (let a = 0; a < size; a++) {
			for (let b = 0; b < size; b++) {
				const apart = (level.mean[a]! - mean[a]!) * (level.mean[b]! - mean[b]!);
				covariance[a * size + b]! += level.weight * (level.covariance[a * size + b]! + apart);
			}
		}
	}
	return { weight: 1, mean, covariance };
}

/** The triangle of the covariance of the channels read, and L⁻¹·(value − mean). */
function reduced(
	level: JointLevel,
	evidence: Evidence,
	values: Float64Array,
): { lower: Float64Array; offset: Float64Array; size: number } {
	const whole = level.mean.length;
	const size = values.length;
	const index = Array.from({ length: size }, (_, i) => 2 * evidence.channels[i >> 1]! + (i & 1));
	const covariance = new Float64Array(size * size);
	for (let a = 0; a < size; a++)
		for (let b = 0; b < size; b++) covariance[a * size + b] = level.covariance[index[a]! * whole + index[b]!]!;
	const lower = lowerTriangle(covariance, size);
	const offset = new Float64Array(size);
	for (let a = 0; a < size; a++) {
		let sum = values[a]! - level.mean[index[a]!]!;
		for (let b = 0; b < a; b++) sum -= lower[a * size + b]! * offset[b]!;
		offset[a] = sum / lower[a * size + a]!;
	}
	return { lower, offset, size };
}
