import { declaredTime, judgeTime } from '@stillmast/core/transition';
import type { CardStep } from '@stillmast/formats/card';
import type { FieldsOf } from '@stillmast/formats/entry';
import type { TransitionData, TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { rampStanding, targetOf } from '@stillmast/record/judge';
import { fill } from '$lib/words/fill.js';
import { glass } from '$lib/words/glass.js';
import { numberText } from '$lib/words/number.js';
import type { Ask } from './ask.js';

/** A timed movement on the glass. */
export interface RampFace {
	readonly fieldId: string;
	readonly name: string;
	readonly rule: TransitionData;
	/** "aim 1.7 to 2.3 s". */
	readonly aim: string;
	readonly flown: readonly { readonly id: string; readonly text: string; readonly word: string }[];
	/** Indications whose extremes are asked for after an attempt. */
	readonly seen: readonly SeenExtreme[];
}

export interface SeenExtreme {
	readonly parameter: string;
	readonly extreme: 'highest' | 'lowest';
	readonly label: string;
	readonly ask: Ask;
}

/** The first ramp of a step; one whose transition the type data do not have is not asked for. */
export function rampFace(state: RecordState, typeData: TypeData, step: CardStep, flight: number): RampFace | null {
	const field = step.fields.find((one) => one.kind === 'ramp');
	if (field === undefined) return null;
	const standing = rampStanding(state, typeData, field, flight);
	const { rule, target } = standing;
	if (rule === null || target === null) return null;
	return {
		fieldId: field.id,
		name: field.name,
		rule,
		aim: fill(glass.aim, { low: secondsText(target.atLeastS ?? 0), high: secondsText(target.atMostS ?? 0) }),
		flown: standing.attempts.map(({ id, timed, verdict }) => ({
			id,
			text: timed === null ? '' : `${secondsText(timed.valueS)} s`,
			word: glass.verdict[verdict],
		})),
		seen: rule.watch.flatMap(({ id, name, unit, resolution, lines }) => {
			const watched = typeData.limits.filter((line) => lines.includes(line.id));
			const ask = { kind: 'number', subject: id, unit, resolution } as const;
			const highest = { parameter: id, extreme: 'highest', label: fill(glass.highest, { name }), ask } as const;
			const lowest = { parameter: id, extreme: 'lowest', label: fill(glass.lowest, { name }), ask } as const;
			return [
				...(watched.some(({ above }) => above !== undefined) ? [highest] : []),
				...(watched.some(({ below }) => below !== undefined) ? [lowest] : []),
			];
		}),
	};
}

/** How an attempt timed by hand stands against the aim. */
export function calledVerdict(rule: TransitionData, calledS: number) {
	return judgeTime(declaredTime({ by: '', durationS: calledS }), targetOf(rule));
}

/** What is written of a movement that the crew called and timed by hand. */
export function calledAttempt(
	face: RampFace,
	at: { readonly flight: number; readonly step: string },
	calledS: number,
	seen: ReadonlyMap<SeenExtreme, number>,
): FieldsOf<'attempt'> {
	const of = (extreme: SeenExtreme['extreme']) =>
		Object.fromEntries([...seen].flatMap(([one, value]) => (one.extreme === extreme ? [[one.parameter, value]] : [])));
	return {
		...at,
		attempt: face.flown.length + 1,
		field: face.fieldId,
		signal: 'crew-call',
		totalS: null,
		equivalentLinearS: null,
		calledS,
		steepestPctPerS: null,
		rampSamples: 0,
		peaks: of('highest'),
		lows: of('lowest'),
		aim: face.rule.aim,
		verdict: calledVerdict(face.rule, calledS),
		traces: [],
	};
}

function secondsText(timeS: number): string {
	return numberText(timeS, { digits: Math.abs(timeS * 10 - Math.round(timeS * 10)) > 1e-6 ? 2 : 1 });
}
