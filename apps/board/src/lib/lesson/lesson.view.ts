import { type Conditions, calmDay, noTrouble, type Trouble } from '@stillmast/rehearsal';
import type { KeptAttempt } from '$lib/rehearsal/rehearsal.view.js';
import { fill } from '$lib/words/fill.js';
import { lesson } from '$lib/words/lesson.js';
import type { LessonPlan } from './lesson-plan.js';

/** One thing an instructor can make harder, and how it is told. */
export interface Harder {
	readonly id: string;
	readonly label: string;
	readonly isOn: boolean;
	/** What holds when it is pressed. */
	readonly next: { readonly conditions: Conditions; readonly trouble: Trouble };
}

/** Invented amounts: enough to be noticed at a gauge, none that the model leaves its range for. */
const hotC = 38;
const highFt = 6000;
const slow = 4;
const faultIps = 0.4;

/** Each switch as it stands, and what pressing it would make of conditions and trouble. */
export function harderSwitches(conditions: Conditions, trouble: Trouble): readonly Harder[] {
	const day = (id: string, label: string, key: keyof Conditions, on: number): Harder => {
		const isOn = conditions[key] !== calmDay[key];
		return { id, label, isOn, next: { conditions: { ...conditions, [key]: isOn ? calmDay[key] : on }, trouble } };
	};
	const wrong = (id: string, label: string, on: Partial<Trouble>): Harder => {
		const [key] = Object.keys(on) as [keyof Trouble];
		const isOn = trouble[key] !== noTrouble[key];
		return {
			id,
			label,
			isOn,
			next: { conditions, trouble: { ...trouble, ...(isOn ? { [key]: noTrouble[key] } : on) } },
		};
	};
	return [
		day('hot', lesson.harder.hot, 'oatC', hotC),
		day('high', lesson.harder.high, 'pressureAltitudeFt', highFt),
		day('worn', lesson.harder.worn, 'wear', 1),
		day('slow', lesson.harder.slow, 'governorSlowness', slow),
		wrong('vibration', lesson.harder.vibration, { vibrationIps: faultIps }),
		wrong('silent', lesson.harder.silent, { isWarningSilent: true }),
		wrong('frozen', lesson.harder.frozen, { frozenGauge: 'torquePct' }),
	];
}

/** How far the aim is reached: inside attempts, one after the other, to the newest; and the longest such row. */
export interface Progress {
	readonly row: number;
	readonly longest: number;
	readonly isReached: boolean;
	readonly words: string;
}

/** Judged by the published rules alone: an attempt that could not be told breaks a row as one outside does. @rule LSN-3 */
export function progressOf({ inARow }: Pick<LessonPlan, 'inARow'>, attempts: readonly KeptAttempt[]): Progress {
	let row = 0;
	let longest = 0;
	for (const { flown, isStalled } of attempts) {
		row = flown.judgement.isInside && !isStalled ? row + 1 : 0;
		longest = Math.max(longest, row);
	}
	const isReached = longest >= inARow;
	const count = { row: String(row), needed: String(inARow), longest: String(longest) };
	return { row, longest, isReached, words: fill(isReached ? lesson.reached : lesson.notReached, count) };
}
