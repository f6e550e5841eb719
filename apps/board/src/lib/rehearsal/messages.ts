import type { AttemptJudgement, Conditions, FlownTrace, Panel, RampTask, Trouble } from '@stillmast/rehearsal';

/** What the page tells the model's worker. */
export type Told =
	| {
			readonly tell: 'begin';
			readonly task: RampTask;
			readonly seed: number;
			readonly conditions: Conditions;
			readonly trouble: Trouble;
			readonly word: number;
	  }
	/** What holds from the next step on; `word` comes back once it does. */
	| {
			readonly tell: 'make';
			readonly conditions: Conditions;
			readonly trouble: Trouble;
			readonly word: number;
	  }
	/** The lever for the time since the last one: the page's frames are the clock. */
	| { readonly tell: 'lever'; readonly leverPct: number; readonly forS: number; readonly movedAtMs: number | null };

export interface Flown {
	readonly judgement: AttemptJudgement;
	readonly trace: FlownTrace;
	readonly task: RampTask;
	/** Torque at rest before and after the change, for the ideal ramp. */
	readonly fromTorquePct: number;
	readonly toTorquePct: number;
}

export type Said =
	| {
			readonly say: 'now';
			readonly timeS: number;
			readonly panel: Panel;
			readonly isWarned: boolean;
			readonly word: number;
			/** When the hand made the movement that this answers; null when it rested. */
			readonly movedAtMs: number | null;
	  }
	| { readonly say: 'over'; readonly flown: Flown };
