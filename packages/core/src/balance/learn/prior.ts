import type { RotorLayout } from './layout.js';

/** Split of the table's error variance over its three parts (docs/methods/balance.md, "Prior"). */
const commonShare = 0.8;
const channelShare = 0.15;
const adjusterShare = 0.05;

/** Sd of the fault in ranges of its kind: at the first look, and once that look has said where it is. */
const openFault = 5;
const settledFault = 0.5;

/** The three parts of a kind's error before any run, relative to the table; sds are per axis. */
export interface ErrorPrior {
	/** Per kind: mean of the common factor (re, im), and its sd along and across that mean. */
	readonly factor: Float64Array;
	readonly alongSd: Float64Array;
	readonly acrossSd: Float64Array;
	/** Per (channel, kind). */
	readonly channelSd: Float64Array;
	/** Per adjuster. */
	readonly adjusterSd: Float64Array;
	/** Per kind, mean (re, im) and sd per axis of the starting fault in units of setting. */
	readonly faultMean: Float64Array;
	readonly faultSd: Float64Array;
	/** Per kind: 1 where the evidence may rescale the sizes, 0 where a fleet has learned them. */
	readonly rescaled: Float64Array;
}

/**
 * Mean and spread of the factor g·exp(iθ) with gain g and phase θ normal: exact first and second moments, so that a
 * phase known to 50° only is not treated as a straight line.
 */
export function factorMoments(
	gain: number,
	gainSd: number,
	phaseSdRad: number,
): { mean: number; alongSd: number; acrossSd: number } {
	const mean = gain * Math.exp((-phaseSdRad * phaseSdRad) / 2);
	const square = gain * gain + gainSd * gainSd;
	const twice = Math.exp(-2 * phaseSdRad * phaseSdRad);
	return {
		mean,
		alongSd: Math.sqrt(Math.max(0, (square * (1 + twice)) / 2 - mean * mean)),
		acrossSd: Math.sqrt((square * (1 - twice)) / 2),
	};
}

/**
 * The prior with every error size multiplied by `scale` (kinds of a fleet excepted). The fault is expected where a first
 * look at the readings puts it, give or take half the adjusters' range: so what was read is not shrunk toward nothing,
 * and what was not read is not wildly open.
 */
export function errorPrior(layout: RotorLayout, scale: number, faultMean: Float64Array | null): ErrorPrior {
	const { kinds, channels, adjusters, kindOf, sdRelative, problem } = layout;
	const prior: ErrorPrior = {
		factor: new Float64Array(2 * kinds.length),
		alongSd: new Float64Array(kinds.length),
		acrossSd: new Float64Array(kinds.length),
		channelSd: new Float64Array(channels.length * kinds.length),
		adjusterSd: new Float64Array(adjusters.length),
		faultMean: faultMean ?? new Float64Array(2 * kinds.length),
		faultSd: new Float64Array(kinds.length),
		rescaled: new Float64Array(kinds.length),
	};
	for (const [m, kind] of kinds.entries()) {
		const stated = problem.priors?.find((p) => p.kind === kind);
		const fleet = stated?.source === 'fleet';
		const size = fleet ? 1 : scale;
		const whole = kindSd(layout, m);
		const gainSd = (stated?.commonGainSd ?? whole * Math.sqrt(commonShare)) * size;
		const turned = ((stated?.phaseDeg ?? 0) * Math.PI) / 180;
		const gain = stated?.gain ?? 1;
		const moments =
			stated?.commonPhaseSdDeg === undefined
				? { mean: gain, alongSd: gainSd, acrossSd: gainSd }
				: factorMoments(gain, gainSd, ((stated.commonPhaseSdDeg * Math.PI) / 180) * size);
		prior.factor[2 * m] = moments.mean * Math.cos(turned);
		prior.factor[2 * m + 1] = moments.mean * Math.sin(turned);
		prior.alongSd[m] = moments.alongSd;
		prior.acrossSd[m] = moments.acrossSd;
		prior.rescaled[m] = fleet ? 0 : 1;
		for (let k = 0; k < channels.length; k++) {
			const at = k * kinds.length + m;
			prior.channelSd[at] = (stated?.channelSd ?? sdRelative[at]! * Math.sqrt(channelShare)) * size;
		}
		const own = adjusters.filter((_, j) => kindOf[j] === m);
		for (let j = 0; j < adjusters.length; j++) {
			if (kindOf[j] === m) prior.adjusterSd[j] = (stated?.adjusterSd ?? whole * Math.sqrt(adjusterShare)) * size;
		}
		prior.faultSd[m] =
			(faultMean ? settledFault : openFault) * rangeOf(own.map((a) => (a.values ? spanOf(a.values) : a.max - a.min)));
	}
	return prior;
}

function kindSd(layout: RotorLayout, m: number): number {
	let sum = 0;
	let count = 0;
	for (let k = 0; k < layout.channels.length; k++) {
		const at = k * layout.kinds.length + m;
		if (layout.table[2 * at] === 0 && layout.table[2 * at + 1] === 0) continue;
		sum += layout.sdRelative[at]! ** 2;
		count++;
	}
	return count === 0 ? 0 : Math.sqrt(sum / count);
}

/** Range of a kind's points added at random angles. */
function rangeOf(spans: readonly number[]): number {
	const mean = spans.reduce((sum, s) => sum + s, 0) / Math.max(1, spans.length);
	return Math.max(1e-9, mean * Math.sqrt(Math.max(1, spans.length / 2)));
}

function spanOf(values: readonly number[]): number {
	return Math.max(...values) - Math.min(...values);
}
