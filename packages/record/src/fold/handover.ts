import type { EntryOf } from '@stillmast/formats/entry';
import { openQuestions } from './questions.js';
import type { LimitEvidence, MeasureAgain, RecordState, SettingState, Settled } from './state.js';

/** What the next person has to know before going on. */
export interface HandoverSummary {
	/** The newest `given` that nobody has taken up yet. */
	readonly given: EntryOf<'handover'> | null;
	/** What is on the aircraft, by rotor and adjuster: to be confirmed by looking. */
	readonly settings: readonly { readonly rotor: string; readonly setting: SettingState }[];
	/** Changed and not read off the aircraft since. */
	readonly notMeasured: readonly { readonly rotor: string; readonly setting: SettingState }[];
	readonly measureAgain: readonly MeasureAgain[];
	/** Work on flight controls without its inspection. */
	readonly inspectionsOpen: readonly string[];
	readonly toAgree: RecordState['toAgree'];
	/** Evidence that no decision names. */
	readonly limitsUndecided: readonly LimitEvidence[];
	readonly stepsLeft: readonly { readonly flight: number; readonly step: string; readonly settled: Settled<'step'> }[];
	readonly questions: readonly EntryOf<'remark'>[];
	/** Measuring gear still on the aircraft, as last said. */
	readonly gearFitted: readonly string[];
}

/** The state as a handover tells it. @rule REC-63 */
export function readHandover(state: RecordState): HandoverSummary {
	const { handover } = state.of;
	const taken = new Set(handover.flatMap(({ given }) => given ?? []));
	const settings = [...state.rotors].flatMap(([rotor, one]) =>
		[...one.settings.values()].map((setting) => ({ rotor, setting })),
	);
	return {
		given: handover.filter((one) => one.state === 'given' && !taken.has(one.hash)).at(-1) ?? null,
		settings,
		notMeasured: settings.filter(({ setting }) => !setting.measured),
		measureAgain: state.measureAgain,
		inspectionsOpen: [...state.rotors.values()].flatMap((rotor) => rotor.inspectionsOpen),
		toAgree: state.toAgree,
		limitsUndecided: state.limits.filter((limit) => !isDecided(limit)),
		stepsLeft: readStepsLeft(state),
		questions: openQuestions(state),
		gearFitted: handover.at(-1)?.gearFitted ?? [],
	};
}

/** Decided when one decision holds on each line, and between them they name all that was said. */
function isDecided({ witnesses, memories, decisions }: LimitEvidence): boolean {
	const lines = decisions.map(({ line }) => line);
	const named = new Set(decisions.flatMap(({ evidence }) => evidence));
	return new Set(lines).size === lines.length && [...witnesses, ...memories].every(({ hash }) => named.has(hash));
}

/** By the newest flight that speaks of a step: what was flown later is no longer left. */
function readStepsLeft(state: RecordState): HandoverSummary['stepsLeft'] {
	const newest = new Map<string, HandoverSummary['stepsLeft'][number]>();
	for (const { flight, steps } of state.flights) {
		for (const [step, settled] of steps) newest.set(step, { flight, step, settled });
	}
	return [...newest.values()].filter(({ settled }) => settled.holds?.state !== 'done');
}
