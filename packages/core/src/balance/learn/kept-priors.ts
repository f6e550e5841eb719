import { angleOfDeg, degPerRad, wrap180 } from '../../phasor/index.js';
import type { KindPrior } from '../model.js';
import { drawFactors } from './kind-factor.js';
import type { Posterior } from './posterior.js';

const draws = 2000;
/** Work on a rotor part leaves what is common to a kind known at this many times its sd (docs/rules/balance.md). */
const widening = 2;

/**
 * What a rotor part's change leaves of the learning: the common factors at twice their sd, never wider than before any
 * run. The fault, the channels' and the adjusters' own parts are forgotten.
 */
export function keptPriors(posterior: Posterior): KindPrior[] {
	return posterior.layout.kinds.map((kind, m) => {
		const stated = posterior.layout.problem.priors?.find((p) => p.kind === kind);
		const factors = drawFactors(posterior, m, draws, 1);
		const mean = {
			re: factors.reduce((sum, f) => sum + f.re, 0) / factors.length,
			im: factors.reduce((sum, f) => sum + f.im, 0) / factors.length,
		};
		const gain = Math.hypot(mean.re, mean.im);
		const phaseDeg = wrap180(angleOfDeg(mean));
		const along = (f: { re: number; im: number }): number => (f.re * mean.re + f.im * mean.im) / gain - gain;
		const across = (f: { re: number; im: number }): number => (f.im * mean.re - f.re * mean.im) / gain;
		const rms = (of: (f: { re: number; im: number }) => number): number =>
			Math.sqrt(factors.reduce((sum, f) => sum + of(f) ** 2, 0) / factors.length);
		const start = posterior.members[0]!.fit.prior;
		return {
			kind,
			gain,
			phaseDeg,
			commonGainSd: Math.min(widening * rms(along), start.alongSd[m]!),
			commonPhaseSdDeg: Math.min((widening * rms(across)) / gain, start.acrossSd[m]!) * degPerRad,
			...(stated?.channelSd === undefined ? {} : { channelSd: stated.channelSd }),
			...(stated?.adjusterSd === undefined ? {} : { adjusterSd: stated.adjusterSd }),
			source: 'fleet',
		};
	});
}
