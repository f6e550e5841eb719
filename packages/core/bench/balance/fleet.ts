import type { KindPrior, LearnedKind } from '../../src/balance/index.js';

/**
 * What earlier tails of a type say about the next one, per kind: the mean gain and phase error and their spread among
 * tails. Random effects by moments: the spread among the estimates, less what their own uncertainty explains.
 * Source: R. DerSimonian, N. Laird, Meta-analysis in clinical trials, 1986 (the moment estimator), from memory.
 */
export function fleetPriors(tails: readonly (readonly LearnedKind[])[]): KindPrior[] {
	return tails[0]!.map(({ kind }) => {
		const ofKind = tails.map((tail) => tail.find((learned) => learned.kind === kind)!);
		const gain = pooled(ofKind.map((one) => ({ mean: one.gain, sd: halfWidth(one.gain95) })));
		const first = ofKind[0]!.phaseErrorDeg;
		const phase = pooled(
			ofKind.map((one) => ({
				// Phases are compared near the first one, so that 179 and -179 are two degrees apart.
				mean: first + (((one.phaseErrorDeg - first + 540) % 360) - 180),
				sd: halfWidth(one.phaseError95),
			})),
		);
		return {
			kind,
			gain: gain.mean,
			phaseDeg: phase.mean,
			commonGainSd: gain.sd,
			commonPhaseSdDeg: phase.sd,
			// A channel's and an adjuster's own part stay as the table's error leaves them: the tails' answers say nothing of it.
			source: 'fleet',
		};
	});
}

interface Pooled {
	readonly mean: number;
	/** Of the next tail: among tails and the error of the mean. */
	readonly sd: number;
}

function pooled(estimates: readonly { mean: number; sd: number }[]): Pooled {
	const weights = estimates.map(({ sd }) => 1 / Math.max(sd, 1e-6) ** 2);
	const total = weights.reduce((sum, weight) => sum + weight, 0);
	const fixed = estimates.reduce((sum, { mean }, i) => sum + weights[i]! * mean, 0) / total;
	const q = estimates.reduce((sum, { mean }, i) => sum + weights[i]! * (mean - fixed) ** 2, 0);
	const scale = total - weights.reduce((sum, weight) => sum + weight ** 2, 0) / total;
	const among = Math.sqrt(Math.max(0, (q - (estimates.length - 1)) / scale));
	const open = estimates.map(({ sd }) => 1 / (sd ** 2 + among ** 2));
	const openTotal = open.reduce((sum, weight) => sum + weight, 0);
	const mean = estimates.reduce((sum, one, i) => sum + open[i]! * one.mean, 0) / openTotal;
	return { mean, sd: Math.sqrt(among ** 2 + 1 / openTotal) };
}

function halfWidth([low, high]: readonly [number, number]): number {
	return (high - low) / 3.92;
}
