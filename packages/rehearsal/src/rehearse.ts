import { type AttemptJudgement, judgeAttempt } from './attempt/judge-attempt.js';
import { RampAttempt } from './attempt/ramp-attempt.js';
import { ouzel3Limits, ouzel3Ramp, type RampLimits } from './attempt/task.js';
import { type Conditions, calmDay } from './conditions.js';
import { drawPilot, flyAttempt } from './pilot/pilot.js';
import { seededDraw } from './random.js';
import { ouzel3, type SimulatedType } from './type.js';

export interface RehearseSettings {
	readonly seed: number;
	/** One after the other, by the same pilot. */
	readonly attempts: number;
	readonly targetS: number;
	readonly limits?: RampLimits | undefined;
	readonly usesWarning?: boolean | undefined;
	readonly conditions?: Conditions | undefined;
	readonly type?: SimulatedType | undefined;
}

export interface RehearsedAttempt extends AttemptJudgement {
	/** From 1. */
	readonly attempt: number;
}

/**
 * A scripted pilot flies a timed power change several times, without a screen. The same settings give the same numbers.
 * @returns one judgement for each attempt, in order
 */
export function rehearse(settings: RehearseSettings): readonly RehearsedAttempt[] {
	const { seed, attempts, targetS, limits = ouzel3Limits, usesWarning = true } = settings;
	const draw = seededDraw(seed);
	const pilot = drawPilot(draw, usesWarning);
	return Array.from({ length: attempts }, (_, index) => {
		const attempt = new RampAttempt({
			type: settings.type ?? ouzel3,
			conditions: settings.conditions ?? calmDay,
			task: { ...ouzel3Ramp(targetS, limits), countInS: 0.5 },
			draw,
		});
		flyAttempt(pilot, attempt, index + 1, draw);
		return { attempt: index + 1, ...judgeAttempt(attempt.trace(), attempt.task) };
	});
}
