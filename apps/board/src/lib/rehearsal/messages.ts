import type { AttemptJudgement, FlownTrace, Panel, RampTask } from '@stillmast/rehearsal';

/** What the page tells the model's worker. */
export type Told =
	| { readonly tell: 'begin'; readonly task: RampTask; readonly seed: number }
	/** The lever for the time since the last one: the page's frames are the clock. */
	| { readonly tell: 'lever'; readonly leverPct: number; readonly forS: number };

export interface Flown {
	readonly judgement: AttemptJudgement;
	readonly trace: FlownTrace;
	readonly task: RampTask;
	/** Torque at rest before and after the change, for the ideal ramp. */
	readonly fromTorquePct: number;
	readonly toTorquePct: number;
}

export type Said =
	| { readonly say: 'now'; readonly timeS: number; readonly panel: Panel; readonly isWarned: boolean }
	| { readonly say: 'over'; readonly flown: Flown };
