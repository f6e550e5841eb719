import { fail, ok, type Problem, type Result } from '../result/index.js';

export interface Sample {
	readonly timeS: number;
	readonly value: number;
}

/** Least and most. */
export type Range = readonly [number, number];

export interface TransitionFault extends Problem {
	readonly code:
		| 'too-few-samples'
		| 'no-movement'
		| 'clock-backwards'
		| 'duplicate-time'
		| 'not-reached'
		| 'not-a-number';
}

/** A time with the range that the samples (or the hand) leave it. */
export interface Timed {
	readonly valueS: number;
	readonly rangeS: Range;
}

export interface Movement {
	/** 2 to 98 % of the span. */
	readonly total: Timed;
	/** 10 to 90 % of the span, divided by 0.8. */
	readonly equivalentLinear: Timed;
	/** Between neighbouring samples, signed; the movement itself may have been steeper. */
	readonly steepestPerSecond: number;
	readonly from: number;
	readonly to: number;
	/** When 2 % and when 98 % were passed. */
	readonly beginS: Timed;
	readonly endS: Timed;
	readonly samplesInRamp: number;
}

/** A ramp with fewer samples has no shape that could be told. */
export const fewestSamples = 10;

/**
 * Times one movement from one level to another.
 * @param levels of the movement; unless stated, the median of the first and of the last five samples
 * @returns problem `too-few-samples` ("cannot tell") under ten samples within the ramp @rule TRN-1 TRN-2
 */
export function timeMovement(
	samples: readonly Sample[],
	levels: { readonly from?: number | undefined; readonly to?: number | undefined } = {},
): Result<Movement, TransitionFault> {
	const fault = clockFault(samples);
	if (fault !== null) return fail(fault);
	if (samples.length < fewestSamples) return tooFew(samples.length);
	const from = levels.from ?? median(samples.slice(0, 5));
	const to = levels.to ?? median(samples.slice(-5));
	if (from === to) return fail({ code: 'no-movement', found: to, needed: `another level than ${from}` });
	const crossing = (share: number, last: boolean): Timed | null => cross(samples, from, to, share, last);
	const [at98, at90] = [crossing(0.98, false), crossing(0.9, false)];
	if (at98 === null || at90 === null)
		return fail({ code: 'not-reached', found: share(samples, from, to), needed: 0.98 });
	const before = samples.filter(({ timeS }) => timeS <= at98.rangeS[1]);
	const at2 = cross(before, from, to, 0.02, true);
	const at10 = cross(before, from, to, 0.1, true);
	if (at2 === null || at10 === null) {
		return fail({ code: 'not-reached', found: 'the movement had begun', needed: 'a sample before it' });
	}
	const inside = samples.filter(({ timeS }) => timeS >= at2.rangeS[1] && timeS <= at98.rangeS[0]);
	if (inside.length < fewestSamples) return tooFew(inside.length);
	return ok({
		total: between(at2, at98, 1),
		equivalentLinear: between(at10, at90, 0.8),
		steepestPerSecond: steepest(before, Math.sign(to - from)),
		from,
		to,
		beginS: at2,
		endS: at98,
		samplesInRamp: inside.length,
	});
}

function tooFew(found: number): Result<never, TransitionFault> {
	return fail({ code: 'too-few-samples', found, needed: fewestSamples });
}

/** What is wrong with the clock or the numbers of a signal. */
export function clockFault(samples: readonly Sample[]): TransitionFault | null {
	for (const [at, { timeS, value }] of samples.entries()) {
		const path = `$.samples[${at}]`;
		if (!Number.isFinite(timeS) || !Number.isFinite(value)) {
			return { code: 'not-a-number', path, found: `${timeS}, ${value}`, needed: 'numbers' };
		}
		const before = samples[at - 1]?.timeS ?? Number.NEGATIVE_INFINITY;
		if (timeS === before) return { code: 'duplicate-time', path, found: timeS, needed: `above ${before}` };
		if (timeS < before) return { code: 'clock-backwards', path, found: timeS, needed: `above ${before}` };
	}
	return null;
}

/** The first time (or the last) that a share of the span is passed on the way. */
function cross(samples: readonly Sample[], from: number, to: number, part: number, last: boolean): Timed | null {
	const done = samples.map(({ value }) => (value - from) / (to - from) - part);
	const passes = done.map((now, at) => at > 0 && now >= 0 && (done[at - 1] as number) < 0);
	const at = last ? passes.lastIndexOf(true) : passes.indexOf(true);
	if (at < 1) return null;
	const [before, after] = [samples[at - 1] as Sample, samples[at] as Sample];
	const [a, b] = [done[at - 1] as number, done[at] as number];
	return {
		valueS: before.timeS + ((after.timeS - before.timeS) * -a) / (b - a),
		rangeS: [before.timeS, after.timeS],
	};
}

function between(begin: Timed, end: Timed, part: number): Timed {
	return {
		valueS: (end.valueS - begin.valueS) / part,
		rangeS: [Math.max(0, end.rangeS[0] - begin.rangeS[1]) / part, (end.rangeS[1] - begin.rangeS[0]) / part],
	};
}

function steepest(samples: readonly Sample[], direction: number): number {
	const rates = samples.slice(1).map(({ timeS, value }, at) => {
		const before = samples[at] as Sample;
		return (value - before.value) / (timeS - before.timeS);
	});
	return direction > 0 ? Math.max(...rates) : Math.min(...rates);
}

function share(samples: readonly Sample[], from: number, to: number): number {
	return Math.max(...samples.map(({ value }) => (value - from) / (to - from)));
}

export function median(samples: readonly Sample[]): number {
	const sorted = samples.map(({ value }) => value).sort((a, b) => a - b);
	const middle = sorted.length >> 1;
	const upper = sorted[middle] ?? 0;
	return sorted.length % 2 === 1 ? upper : (upper + (sorted[middle - 1] ?? upper)) / 2;
}
