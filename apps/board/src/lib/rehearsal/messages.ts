import type { AttemptJudgement, Conditions, FlownTrace, RampTask, Trouble } from '@stillmast/rehearsal';
import type { RunSetting } from './attempt-run.js';

/** What the page tells the model's worker. */
export type Told =
	| ({ readonly tell: 'begin' } & RunSetting)
	/** What holds from the next step on. */
	| { readonly tell: 'make'; readonly conditions: Conditions; readonly trouble: Trouble }
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

export interface Said {
	readonly say: 'over';
	readonly flown: Flown;
}
