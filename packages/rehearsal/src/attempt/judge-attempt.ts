import type { FlownTrace } from './ramp-attempt.js';
import { type RampTimes, rampTimes } from './ramp-times.js';
import type { GaugeName, RampTask } from './task.js';

export type AttemptFault = 'too-fast' | 'too-slow' | 'torque' | 'rotor-speed' | 'temperature' | 'lever-end';

/** A flown attempt against its task. Every number is as the gauges showed it. */
export interface AttemptJudgement {
	/** Null when the lever's movement cannot be timed: it did not get there, or too few samples saw it. */
	readonly times: RampTimes | null;
	readonly peakTorquePct: number | null;
	readonly leastNrPct: number | null;
	readonly peakTotC: number | null;
	/** Where the lever rested when the attempt was over. */
	readonly endLeverPct: number | null;
	/** What lay outside; empty and `isInside` false means that it could not be told. */
	readonly faults: readonly AttemptFault[];
	readonly isInside: boolean;
}

/** Judges from the first sample to the last, so that peaks after the lever has stopped count. */
export function judgeAttempt(trace: FlownTrace, task: RampTask): AttemptJudgement {
	const lever = samplesOf(trace, 'leverPct');
	const times = rampTimes(lever, task.fromPct, task.toPct);
	const peakTorquePct = most(trace, 'torquePct');
	const leastNrPct = least(trace, 'nrPct');
	const peakTotC = most(trace, 'totC');
	const endLeverPct = lever.at(-1)?.value ?? null;
	const { limits } = task;
	const isAbove = (value: number | null, line: number) => value !== null && value > line;
	const faults: AttemptFault[] = [];
	if (times !== null && times.equivalentS < task.targetS - task.bandS) faults.push('too-fast');
	if (times !== null && times.equivalentS > task.targetS + task.bandS) faults.push('too-slow');
	if (isAbove(peakTorquePct, limits.torquePct)) faults.push('torque');
	if (leastNrPct !== null && leastNrPct < limits.nrPct) faults.push('rotor-speed');
	if (isAbove(peakTotC, limits.totC)) faults.push('temperature');
	if (endLeverPct !== null && Math.abs(endLeverPct - task.toPct) > task.endBandPct) faults.push('lever-end');
	const isSeen = [times, peakTorquePct, leastNrPct, peakTotC, endLeverPct].every((one) => one !== null);
	return {
		times,
		peakTorquePct,
		leastNrPct,
		peakTotC,
		endLeverPct,
		faults,
		isInside: isSeen && faults.length === 0,
	};
}

function samplesOf(trace: FlownTrace, name: GaugeName) {
	return trace.timeS.flatMap((timeS, at) => {
		const value = trace.channels[name][at] ?? null;
		return value === null ? [] : [{ timeS, value }];
	});
}

function most(trace: FlownTrace, name: GaugeName): number | null {
	return trace.channels[name].reduce<number | null>(
		(best, value) => (value !== null && (best === null || value > best) ? value : best),
		null,
	);
}

function least(trace: FlownTrace, name: GaugeName): number | null {
	return trace.channels[name].reduce<number | null>(
		(best, value) => (value !== null && (best === null || value < best) ? value : best),
		null,
	);
}
