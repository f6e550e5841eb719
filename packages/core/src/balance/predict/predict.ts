import { angleOfDeg } from '../../phasor/index.js';
import type { PredictedReading } from '../answer.js';
import type { Posterior } from '../learn/posterior.js';
import { amplitudeOf, chanceBelow, quantileOf } from './amplitude.js';
import { type JointChance, jointChance } from './joint-chance.js';
import { type JointLevel, levelsAt } from './level.js';
import { type Outlook, outlookOf, type PartPlan, partPlan } from './outlook.js';
import { nextScatter, readingsFrom } from './reading.js';

/** A posterior made ready to predict any settings. */
export interface Forecast {
	readonly posterior: Posterior;
	readonly parts: PartPlan;
	readonly outlooks: readonly Outlook[];
}

export function forecastOf(posterior: Posterior): Forecast {
	const parts = partPlan(posterior);
	return { posterior, parts, outlooks: posterior.members.map((m) => outlookOf(posterior, m.weight, m.fit, parts)) };
}

export interface Prediction {
	readonly readings: Readonly<Record<string, PredictedReading>>;
	readonly joint: JointChance;
}

/**
 * The next reading of every channel at these settings (one number per adjuster, absolute), with joint chances by
 * `draws` seeded draws.
 */
export function predict(forecast: Forecast, settings: Float64Array, draws: number, seed: number): Prediction {
	const { posterior } = forecast;
	const { channels } = posterior.layout;
	const levels = levelsAt(posterior, forecast.outlooks, forecast.parts, settings);
	const next = readingsFrom(levels, nextScatter(posterior, levels));
	const readings: Record<string, PredictedReading> = {};
	for (const [k, channel] of channels.entries()) {
		const mean = meanOf(levels, k);
		const mixture = amplitudeOf(next, k);
		readings[channel.id] = {
			amplitudeIps: Math.hypot(mean.re, mean.im),
			phaseDeg: angleOfDeg(mean),
			sdIps: Math.sqrt(varianceOf(next, k, mean)),
			low95Ips: quantileOf(mixture, 0.025),
			high95Ips: quantileOf(mixture, 0.975),
			chanceWithinLimit: chanceBelow(mixture, channel.limitIps),
			chanceWithinGoal: chanceBelow(mixture, channel.goalIps ?? channel.limitIps),
			chanceTrueLevelWithinLimit: chanceBelow(amplitudeOf(levels, k), channel.limitIps),
		};
	}
	return { readings, joint: jointChance(posterior.layout, next, draws, seed) };
}

function meanOf(levels: readonly JointLevel[], k: number): { re: number; im: number } {
	let re = 0;
	let im = 0;
	for (const { weight, mean } of levels) {
		re += weight * mean[2 * k]!;
		im += weight * mean[2 * k + 1]!;
	}
	return { re, im };
}

/** Per axis, members' disagreement included. */
function varianceOf(levels: readonly JointLevel[], k: number, mean: { re: number; im: number }): number {
	let sum = 0;
	for (const { weight, mean: m, covariance } of levels) {
		const size = m.length;
		const a = 2 * k;
		const apart = (m[a]! - mean.re) ** 2 + (m[a + 1]! - mean.im) ** 2;
		sum += (weight * (covariance[a * size + a]! + covariance[(a + 1) * size + a + 1]! + apart)) / 2;
	}
	return sum;
}
