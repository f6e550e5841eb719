import type { Feed } from '@stillmast/record/wire';
import { type Conditions, calmDay, gaugeNames, noTrouble, type Panel, type Trouble } from '@stillmast/rehearsal';

/** What one side of a lesson says to the other: moments of a live feed, newest wins, so each says all that holds now. */
type Moment = Pick<Feed, 'values' | 'states'>;

export const traineeSource = 'trainee';
export const instructorSource = 'instructor';

export type TraineePhase = 'ready' | 'flying' | 'paused' | 'over';

/** The trainee's device, 20 times a second while the lever counts. */
export interface TraineeMoment {
	readonly phase: TraineePhase;
	/** Number of the attempt flown, or flown last; 0 before the first. */
	readonly attempt: number;
	/** 0 at "go". */
	readonly timeS: number;
	readonly panel: Panel;
	readonly isWarned: boolean;
	/** Number of the instructor's newest word that the model has taken up. */
	readonly applied: number;
	readonly sentAtMs: number;
}

/** What the instructor has set: all of it each time, so that a device that was away is level after one. */
export interface InstructorMoment {
	/** Grows with every change. */
	readonly word: number;
	readonly conditions: Conditions;
	readonly trouble: Trouble;
	readonly isPaused: boolean;
	/** Attempts that may have been begun; one more lets the trainee's device count in. */
	readonly go: number;
	/** Attempt that is talked over; 0 none. */
	readonly talk: number;
}

export const nothingAsked: InstructorMoment = {
	word: 0,
	conditions: calmDay,
	trouble: noTrouble,
	isPaused: false,
	go: 0,
	talk: 0,
};

export function traineeToFeed({ phase, attempt, timeS, panel, isWarned, applied, sentAtMs }: TraineeMoment): Moment {
	const read = gaugeNames.flatMap((name) => (panel[name] === null ? [] : [[name, panel[name]] as const]));
	return {
		values: { ...Object.fromEntries(read), attempt, timeS, isWarned: isWarned ? 1 : 0, applied, sentAtMs },
		states: { phase },
	};
}

/** Null for what no trainee's device says. */
export function traineeFromFeed({ values, states }: Moment): TraineeMoment | null {
	const phase = (['ready', 'flying', 'paused', 'over'] as const).find((one) => one === states.phase);
	const { attempt, timeS, applied, sentAtMs } = values;
	if (phase === undefined || attempt === undefined || timeS === undefined) return null;
	return {
		phase,
		attempt,
		timeS,
		panel: panelOf(values),
		isWarned: values.isWarned === 1,
		applied: applied ?? 0,
		sentAtMs: sentAtMs ?? 0,
	};
}

function panelOf(values: Moment['values']): Panel {
	const [leverPct = null, torquePct = null, nrPct = null, ngPct = null, totC = null, vibrationIps = null] =
		gaugeNames.map((name) => values[name]);
	return { leverPct, torquePct, nrPct, ngPct, totC, vibrationIps };
}

export function instructorToFeed({ word, conditions, trouble, isPaused, go, talk }: InstructorMoment): Moment {
	return {
		values: {
			word,
			...conditions,
			vibrationIps: trouble.vibrationIps,
			isWarningSilent: trouble.isWarningSilent ? 1 : 0,
			isPaused: isPaused ? 1 : 0,
			go,
			talk,
		},
		states: { frozenGauge: trouble.frozenGauge ?? 'none' },
	};
}

/** Null for what no instructor's device says. What is missing holds as on a calm day. */
export function instructorFromFeed({ values, states }: Moment): InstructorMoment | null {
	const { word } = values;
	if (word === undefined) return null;
	return {
		word,
		conditions: {
			iasKt: values.iasKt ?? calmDay.iasKt,
			pressureAltitudeFt: values.pressureAltitudeFt ?? calmDay.pressureAltitudeFt,
			oatC: values.oatC ?? calmDay.oatC,
			bleed: values.bleed ?? calmDay.bleed,
			wear: values.wear ?? calmDay.wear,
			governorSlowness: values.governorSlowness ?? calmDay.governorSlowness,
		},
		trouble: {
			vibrationIps: values.vibrationIps ?? 0,
			isWarningSilent: values.isWarningSilent === 1,
			frozenGauge: gaugeNames.find((name) => name === states.frozenGauge) ?? null,
		},
		isPaused: values.isPaused === 1,
		go: values.go ?? 0,
		talk: values.talk ?? 0,
	};
}
