import { fail, ok, type Result } from '../result/index.js';
import { clockFault, median, type Sample, type TransitionFault } from './timing.js';

/** How long after a movement a peak still belongs to it. */
export const peakSearchS = 5;

export interface Response {
	readonly peak: Sample;
	readonly lowest: Sample;
	/** Level before the movement, and the one reached at the end of the search. */
	readonly before: number;
	readonly final: number;
	/** How far below the level before it fell; 0 if it did not. */
	readonly droop: number;
	/** How far beyond the final level it went, in the direction of the change. */
	readonly overshoot: number;
	/** How far short of the final level it fell back after the overshoot. */
	readonly undershoot: number;
	/** From the end of the movement until it stays within the band; null if not within the search or without a band. */
	readonly settlingS: number | null;
	/** The record ends before the search does: peaks may be missing. */
	readonly cutByTrace: boolean;
}

/**
 * What another signal (torque, rotor speed, temperature) did during a movement and until 5 s after its end. @rule TRN-3
 * @param settlingBand either way about the final level, in the signal's unit
 */
export function respond(
	samples: readonly Sample[],
	movement: { readonly beginS: number; readonly endS: number },
	settlingBand?: number,
): Result<Response, TransitionFault> {
	const fault = clockFault(samples);
	if (fault !== null) return fail(fault);
	const untilS = movement.endS + peakSearchS;
	const earlier = samples.filter(({ timeS }) => timeS <= movement.beginS);
	const during = samples.filter(({ timeS }) => timeS >= movement.beginS && timeS <= untilS);
	const [first, last] = [during[0], during.at(-1)];
	if (earlier.length === 0 || first === undefined || last === undefined) {
		return fail({ code: 'too-few-samples', found: during.length, needed: 'samples before the movement and during it' });
	}
	const before = median(earlier.slice(-5));
	const final = median(during.slice(-5));
	const peak = during.reduce((most, one) => (one.value > most.value ? one : most), first);
	const lowest = during.reduce((least, one) => (one.value < least.value ? one : least), first);
	const rises = final >= before;
	const extreme = rises ? peak : lowest;
	const after = during.filter(({ timeS }) => timeS >= extreme.timeS).map(({ value }) => value);
	const overshoot = Math.max(0, rises ? peak.value - final : final - lowest.value);
	const back = rises ? final - Math.min(...after) : Math.max(...after) - final;
	return ok({
		peak,
		lowest,
		before,
		final,
		droop: Math.max(0, before - lowest.value),
		overshoot,
		undershoot: overshoot > 0 ? Math.max(0, back) : 0,
		settlingS: settlingBand === undefined ? null : settling(during, movement.endS, final, settlingBand),
		cutByTrace: last.timeS < untilS - 1e-9 && (samples.at(-1) as Sample).timeS < untilS - 1e-9,
	});
}

function settling(during: readonly Sample[], endS: number, final: number, band: number): number | null {
	const lastOut = during.findLastIndex(({ value }) => Math.abs(value - final) > band);
	const settled = during[lastOut + 1];
	return settled === undefined ? null : Math.max(0, settled.timeS - endS);
}
