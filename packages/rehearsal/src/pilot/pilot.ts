import type { RampAttempt } from '../attempt/ramp-attempt.js';
import { stepS } from '../helicopter.js';
import { type Draw, normal } from '../random.js';
import { leverAtPct } from './scripted-lever.js';

/**
 * A scripted pilot. Invented habits, plausible beside simple reaction times of 0.2 to 0.3 s (common practice); they stand for
 * no person and measure nobody.
 */
export interface Pilot {
	readonly reactionS: number;
	/** How much longer (positive) or shorter than the target this hand's movement is at first, as a share. */
	readonly timeBias: number;
	/** Scatter of that from attempt to attempt. */
	readonly timeScatter: number;
	/** Share of the span by which this hand goes too far at first. */
	readonly overshootShare: number;
	/** Share of bias and overshoot lost with each attempt that told the pilot something. */
	readonly learnsShare: number;
	readonly usesWarning: boolean;
}

/** One of a population: reaction, habits and learning differ from person to person. */
export function drawPilot(draw: Draw, usesWarning: boolean): Pilot {
	return {
		reactionS: Math.max(0.15, 0.26 + 0.05 * normal(draw)),
		timeBias: -0.12 + 0.12 * normal(draw),
		timeScatter: 0.07,
		overshootShare: Math.abs(0.08 + 0.04 * normal(draw)),
		// a warning tells at the moment of the mistake what otherwise only the verdict tells
		learnsShare: (usesWarning ? 0.35 : 0.12) * (0.7 + 0.6 * draw()),
		usesWarning,
	};
}

/** A minimum-jerk movement of duration T has an equivalent linear time of 0.633 T (its 10 to 90 % part, divided by 0.8). */
const equivalentShare = 0.633;

/**
 * Flies an attempt to its end.
 * @param attemptNumber from 1; habits wear off with it
 */
export function flyAttempt(pilot: Pilot, attempt: RampAttempt, attemptNumber: number, draw: Draw): void {
	const { task } = attempt;
	const left = (1 - pilot.learnsShare) ** (attemptNumber - 1);
	const share = Math.max(0.4, 1 + pilot.timeBias * left + pilot.timeScatter * normal(draw));
	const startS = pilot.reactionS + 0.04 * normal(draw);
	const move = {
		fromPct: task.fromPct,
		toPct: task.toPct,
		startS: 0,
		durationS: (task.targetS * share) / equivalentShare,
		overshootShare: pilot.overshootShare * left,
	};
	// the plan's own time: it stands still while the hand answers the warning
	let planS = 0;
	let warnedS: number | null = null;
	while (!attempt.isOver) {
		warnedS = attempt.isWarned ? (warnedS ?? attempt.timeS) : null;
		const eases = pilot.usesWarning && warnedS !== null && attempt.timeS - warnedS >= pilot.reactionS;
		if (attempt.timeS >= startS) planS += stepS * (eases ? easedShare : 1);
		attempt.step(leverAtPct(move, planS));
	}
}

/** A hand that eases slows down, it does not freeze. */
const easedShare = 0.25;
