import {
	type Attempt,
	type Attempts,
	declaredTime,
	handTimingS,
	judgeTime,
	summarise,
	type Timed,
	type TransitionTarget,
} from '@stillmast/core/transition';
import type { CardFieldOf } from '@stillmast/formats/card';
import type { EntryOf } from '@stillmast/formats/entry';
import type { LimitLineWords, TransitionData, TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '../fold/state.js';
import { lineSide } from './line-side.js';

/** An indication's extreme in one attempt, against one limit line. */
export interface WatchedLine {
	readonly parameter: string;
	readonly line: LimitLineWords;
	/** Highest for an `above` line, lowest for a `below` line; null when nobody wrote it. */
	readonly extreme: number | null;
	/** Of the indicated value; a condition of the line (its `when`) is for people to hold against it. */
	readonly side: 'inside' | 'beyond' | 'not-seen';
}

export interface RampAttempt extends Attempt {
	readonly entry: EntryOf<'attempt'>;
	readonly watched: readonly WatchedLine[];
}

/** A timed transition as it stands in one flight: every attempt, none dropped. */
export interface RampStanding {
	readonly kind: 'ramp';
	readonly rule: TransitionData | null;
	readonly target: TransitionTarget | null;
	readonly attempts: readonly RampAttempt[];
	readonly summary: Attempts;
}

/** The attempts of a field, each judged anew against the type's aim and lines. @rule JDG-8 */
export function rampStanding(
	state: RecordState,
	typeData: TypeData,
	field: CardFieldOf<'ramp'>,
	flight: number,
): RampStanding {
	const rule = typeData.transitions?.find(({ id }) => id === field.transition) ?? null;
	const target = rule === null ? null : targetOf(rule);
	const attempts = state.of.attempt
		.filter((entry) => entry.flight === flight && entry.field === field.id)
		.map((entry) => attemptOf(entry, target, watchedLines(entry, rule, typeData)));
	return { kind: 'ramp', rule, target, attempts, summary: summarise(attempts) };
}

/** The type's aim as the core judges it. */
export function targetOf({ aim, signal, reference }: TransitionData): TransitionTarget {
	return {
		time: aim.time,
		signal,
		atLeastS: Math.max(0, aim.targetS - aim.bandS),
		atMostS: aim.targetS + aim.bandS,
		reference,
	};
}

/** What a crew calls is the movement that the aim means; another signal's time is shown, not judged. */
function attemptOf(
	entry: EntryOf<'attempt'>,
	target: TransitionTarget | null,
	watched: readonly WatchedLine[],
): RampAttempt {
	const time = target?.time ?? 'total';
	const recorded = time === 'total' ? entry.totalS : entry.equivalentLinearS;
	const timed = recorded === null ? calledTime(entry) : recordedTime(entry, recorded);
	const meant = target === null || target.signal === entry.signal || entry.signal === 'crew-call' ? target : null;
	return {
		id: entry.hash,
		source: recorded === null ? 'declared' : 'trace',
		signal: entry.signal,
		time: recorded === null ? 'called' : time,
		timed,
		verdict: judgeTime(timed, meant),
		entry,
		watched,
	};
}

function calledTime({ calledS }: EntryOf<'attempt'>): Timed | null {
	return calledS === undefined ? null : declaredTime({ by: '', durationS: calledS });
}

/** A time that came without its range is trusted no further than a hand. */
function recordedTime({ rangeS }: EntryOf<'attempt'>, valueS: number): Timed {
	const [least, most] = rangeS ?? [Math.max(0, valueS - handTimingS), valueS + handTimingS];
	return { valueS, rangeS: [least ?? valueS, most ?? valueS] };
}

function watchedLines(
	{ peaks, lows }: EntryOf<'attempt'>,
	rule: TransitionData | null,
	{ limits }: TypeData,
): readonly WatchedLine[] {
	return (rule?.watch ?? []).flatMap(({ id, lines }) =>
		lines.flatMap((lineId): WatchedLine[] => {
			const line = limits.find((one) => one.id === lineId);
			if (line === undefined) return [];
			const extreme = (line.above === undefined ? lows?.[id] : peaks[id]) ?? null;
			return [{ parameter: id, line, extreme, side: extreme === null ? 'not-seen' : lineSide(line, extreme) }];
		}),
	);
}
