import { wrap180 } from '../../phasor/index.js';
import { fail, ok, type Result } from '../../result/index.js';
import type { LearnedKind } from '../answer.js';
import type { KindPrior } from '../model.js';
import { randomEffects } from './random-effects.js';

/** With fewer tails nothing can be said of how much the next one may differ. */
const fewestTails = 5;
/** Half of a 95 % interval is this many standard deviations. */
const half95 = 1.96;

export interface FleetFault {
	readonly code: 'too-few-tails';
	readonly found: number;
	readonly needed: number;
	readonly path: string;
}

/**
 * What earlier tails of a type say about the next one, as the `priors` of its rotor problem: per kind the mean gain and
 * phase error over the tails, and how far the next tail may be from them (the spread among tails with the error of the
 * mean). Each tail is the `learned` part of its answer, once its check was signed; two rotors of a tail are two fleets.
 * A kind that fewer than five tails have keeps the table's prior and is not in the answer. The channels' and adjusters'
 * own parts stay as the table's error leaves them: the tails' answers say nothing of those.
 * Problem: `too-few-tails` when that leaves no kind at all. Method: docs/methods/balance.md, "Fleet prior".
 */
export function fleetPriors(tails: readonly (readonly LearnedKind[])[]): Result<readonly KindPrior[], FleetFault> {
	const kinds = [...new Set(tails.flatMap((tail) => tail.map(({ kind }) => kind)))];
	const priors = kinds.flatMap((kind): KindPrior[] => {
		const ofKind = tails.flatMap((tail) => tail.filter((learned) => learned.kind === kind).slice(0, 1));
		return ofKind.length < fewestTails ? [] : [priorOf(kind, ofKind)];
	});
	if (priors.length === 0) {
		return fail({ code: 'too-few-tails', found: tails.length, needed: fewestTails, path: 'tails' });
	}
	return ok(priors);
}

function priorOf(kind: string, tails: readonly LearnedKind[]): KindPrior {
	const gain = randomEffects(tails.map((tail) => ({ mean: tail.gain, sd: sdOf(tail.gain95) })));
	// phases are compared near the first one, so that 179° and −179° are two degrees apart
	const first = tails[0]!.phaseErrorDeg;
	const phase = randomEffects(
		tails.map((tail) => ({
			mean: first + wrap180(tail.phaseErrorDeg - first),
			sd: sdOf(tail.phaseError95),
		})),
	);
	return {
		kind,
		gain: gain.mean,
		phaseDeg: wrap180(phase.mean),
		commonGainSd: Math.hypot(gain.amongSd, gain.meanSd),
		commonPhaseSdDeg: Math.hypot(phase.amongSd, phase.meanSd),
		source: 'fleet',
	};
}

function sdOf([low, high]: readonly [number, number]): number {
	return (high - low) / (2 * half95);
}
