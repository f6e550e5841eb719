import type { Movement, Range, Sample, Timed } from './timing.js';

/** Scatter of one duration timed by hand, either way: common practice. */
export const handTimingS = 0.2;

/** What the type data ask of a transition; which time of which signal has to be said, nothing is judged by default. */
export interface TransitionTarget {
	readonly time: 'total' | 'equivalent-linear';
	readonly signal: string;
	readonly atLeastS?: number | undefined;
	readonly atMostS?: number | undefined;
	readonly reference: string;
}

export type TransitionVerdict = 'inside' | 'outside' | 'cannot-tell' | 'no-target';

/** A transition that the crew called: both presses by hand, or a duration they state. */
export interface DeclaredMovement {
	readonly by: string;
	readonly durationS: number;
}

export interface Attempt {
	readonly id: string;
	readonly source: 'trace' | 'declared';
	readonly signal: string;
	readonly time: TransitionTarget['time'] | 'called';
	readonly timed: Timed | null;
	readonly verdict: TransitionVerdict;
}

/** A declared duration, with the scatter of the hand. @rule TRN-4 */
export function declaredTime({ durationS }: DeclaredMovement): Timed {
	return { valueS: durationS, rangeS: [Math.max(0, durationS - handTimingS), durationS + handTimingS] };
}

/** Inside and outside only when the whole range is; ends of the band are inside. @rule TRN-5 */
export function judgeTime(timed: Timed | null, target: TransitionTarget | null): TransitionVerdict {
	if (target === null || (target.atLeastS === undefined && target.atMostS === undefined)) return 'no-target';
	if (timed === null) return 'cannot-tell';
	const [least, most] = timed.rangeS;
	const low = target.atLeastS ?? 0;
	const high = target.atMostS ?? Number.POSITIVE_INFINITY;
	if (least >= low - 1e-9 && most <= high + 1e-9) return 'inside';
	return most < low || least > high ? 'outside' : 'cannot-tell';
}

/** An attempt from a trace of `signal`; a movement that could not be timed is an attempt that cannot tell. */
export function tracedAttempt(
	id: string,
	signal: string,
	movement: Movement | null,
	target: TransitionTarget | null,
): Attempt {
	const time = target?.time ?? 'total';
	const timed = movement === null ? null : time === 'total' ? movement.total : movement.equivalentLinear;
	// Another signal than the target means is timed and shown, not judged.
	const meant = target === null || target.signal === signal ? target : null;
	return { id, source: 'trace', signal, time, timed, verdict: judgeTime(timed, meant) };
}

export function declaredAttempt(
	id: string,
	signal: string,
	declared: DeclaredMovement,
	target: TransitionTarget | null,
): Attempt {
	const timed = declaredTime(declared);
	const meant = target === null || target.signal === signal ? target : null;
	return { id, source: 'declared', signal, time: 'called', timed, verdict: judgeTime(timed, meant) };
}

export interface Attempts {
	readonly count: number;
	readonly inside: number;
	readonly outside: number;
	readonly cannotTell: number;
	/** Fastest and slowest of those that were timed. */
	readonly spreadS: Range | null;
}

/** Attempts are counted, none is dropped. @rule TRN-6 */
export function summarise(attempts: readonly Attempt[]): Attempts {
	const of = (verdict: TransitionVerdict): number => attempts.filter((one) => one.verdict === verdict).length;
	const times = attempts.flatMap(({ timed }) => (timed === null ? [] : [timed.valueS]));
	return {
		count: attempts.length,
		inside: of('inside'),
		outside: of('outside'),
		cannotTell: of('cannot-tell'),
		spreadS: times.length === 0 ? null : [Math.min(...times), Math.max(...times)],
	};
}

export interface LiftOff {
	readonly start: Timed;
	readonly end: Timed;
	readonly duration: Timed;
	readonly endFrom: 'weight-off' | 'mark';
}

/**
 * Lift-off: from the first lever movement to the weight-off signal, or to the mark somebody pressed. Null when either is
 * missing: then its duration is declared. @rule TRN-7
 * @param threshold lever travel that counts as movement, in the lever's unit
 * @param weightOff samples of the weight-off signal, above 0.5 once the weight is off
 */
export function timeLiftOff(
	lever: readonly Sample[],
	threshold: number,
	end: { readonly weightOff?: readonly Sample[]; readonly markS?: number },
): LiftOff | null {
	const rest = lever[0];
	const moved = lever.findIndex(({ value }) => rest !== undefined && Math.abs(value - rest.value) > threshold);
	const [before, after] = [lever[moved - 1], lever[moved]];
	if (before === undefined || after === undefined) return null;
	const start: Timed = { valueS: after.timeS, rangeS: [before.timeS, after.timeS] };
	const weightOff = end.weightOff ?? [];
	const off = weightOff.findIndex(({ timeS, value }) => value > 0.5 && timeS > before.timeS);
	const [on, gone] = [weightOff[off - 1], weightOff[off]];
	const fromSignal = on !== undefined && gone !== undefined;
	if (!fromSignal && end.markS === undefined) return null;
	const markS = end.markS ?? 0;
	const ended: Timed = fromSignal
		? { valueS: gone.timeS, rangeS: [on.timeS, gone.timeS] }
		: { valueS: markS, rangeS: [markS - handTimingS, markS + handTimingS] };
	return {
		start,
		end: ended,
		duration: {
			valueS: ended.valueS - start.valueS,
			rangeS: [Math.max(0, ended.rangeS[0] - start.rangeS[1]), ended.rangeS[1] - start.rangeS[0]],
		},
		endFrom: fromSignal ? 'weight-off' : 'mark',
	};
}
