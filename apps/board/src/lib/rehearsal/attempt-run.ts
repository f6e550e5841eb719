import {
	type Conditions,
	ouzel3,
	RampAttempt,
	type RampTask,
	seededDraw,
	stepS,
	type Trouble,
} from '@stillmast/rehearsal';

export interface RunSetting {
	readonly task: RampTask;
	readonly seed: number;
	readonly conditions: Conditions;
	readonly trouble: Trouble;
}

/**
 * One attempt driven by frames: steps are fixed, frames are not. Two that are told the same say the same, number for
 * number: the page draws from one in the frame of the hand, the worker judges and keeps the other. @rule RHS-32
 */
export class AttemptRun {
	readonly attempt: RampAttempt;
	/** Time told but not yet stepped. */
	#owedS = 0;

	constructor({ task, seed, conditions, trouble }: RunSetting) {
		this.attempt = new RampAttempt({ type: ouzel3, conditions, task, draw: seededDraw(seed) });
		this.attempt.trouble = trouble;
	}

	make(conditions: Conditions, trouble: Trouble): void {
		this.attempt.conditions = conditions;
		this.attempt.trouble = trouble;
	}

	/** @param leverPct where the lever is for all of the time @param forS since the last frame */
	advance(leverPct: number, forS: number): void {
		this.#owedS += forS;
		while (this.#owedS >= stepS && !this.attempt.isOver) {
			this.attempt.step(leverPct);
			this.#owedS -= stepS;
		}
	}
}
