import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState } from '@stillmast/record';
import { clockText, penOf } from '$lib/check/people.view.js';
import { penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { numberText } from '$lib/words/number.js';
import { paper } from '$lib/words/paper.js';

/** A limit that is said to have been passed: evidence first, then who decided what, on which approved data. */
export interface LimitPassed {
	readonly id: string;
	readonly title: string;
	readonly evidence: readonly string[];
	readonly decisions: readonly string[];
	readonly isDecided: boolean;
}

export function limitsPassed(state: RecordState): LimitPassed[] {
	const pen = (by: string) => penInitial(penOf(state, by));
	return state.limits.map(({ flight, parameter, witnesses, memories, decisions }) => ({
		id: `${flight} ${parameter}`,
		title: fill(paper.limitTitle, { parameter, flight: String(flight) }),
		evidence: [
			...witnesses.map((one) =>
				fill(paper.witness, {
					pen: pen(one.by),
					phase: one.phase,
					peak: rangeText(one.peakSure, one.peakPossible, one.unit),
					time: rangeText(one.timeAtLeastS, one.timeAtMostS, 's'),
				}),
			),
			...memories.map((one) => memoryWords(one)),
		],
		decisions: decisions.flatMap((one) => [
			fill(paper.decision, {
				pen: pen(one.by),
				time: clockText(one.at),
				finding: paper.findings[one.finding],
				reason: one.reason,
			}),
			fill(paper.decisionMore, { reference: one.reference, action: one.action }),
		]),
		isDecided: decisions.length > 0,
	}));
}

function memoryWords(one: EntryOf<'memory'>): string {
	return fill(paper.memory, {
		instrument: one.instrument,
		peak: valueText(one.peak, one.unit),
		threshold: valueText(one.threshold, one.unit),
		time: valueText(one.timeAboveS, 's'),
	});
}

function rangeText(low: number | null, high: number | null, unit: string): string {
	if (low === null && high === null) return paper.cannotSay;
	if (low === null || high === null || low === high) return valueText(low ?? high, unit);
	const number = (value: number) => numberText(value, { digits: 1 });
	return fill(paper.between, { low: number(low), high: number(high), unit });
}

function valueText(value: number | null, unit: string): string {
	return value === null ? paper.cannotSay : `${numberText(value, { digits: 1 })} ${unit}`;
}
