import type { Card } from '@stillmast/formats/card';
import type { RecordState } from '@stillmast/record';
import type { PenName } from '$lib/parts/written/pen.js';
import { penOf, secondsText } from './people.view.js';

/** A moment that somebody marked in flight, and what was said of it since. */
export interface MarkLine {
	readonly hash: string;
	readonly flight: number;
	/** "14:31:07Z". */
	readonly time: string;
	readonly pen: PenName | null;
	/** Title of the step that was on the glass. */
	readonly step: string;
	readonly said: { readonly pen: PenName | null; readonly text: string } | null;
}

/** Marks of all flights, newest first. The times that *Measured* keeps are no marks: their number explains them. */
export function markLines(state: RecordState, card: Card): MarkLine[] {
	return state.of.mark
		.filter(({ text }) => text === undefined)
		.map((mark) => {
			const remark = state.of.remark.find(({ to }) => to === mark.hash);
			return {
				hash: mark.hash,
				flight: mark.flight,
				time: secondsText(mark.at),
				pen: penOf(state, mark.by),
				step: card.steps.find(({ id }) => id === mark.step)?.title ?? '',
				said: remark === undefined ? null : { pen: penOf(state, remark.by), text: remark.text },
			};
		})
		.reverse();
}

export function marksToExplain(state: RecordState, card: Card): number {
	return markLines(state, card).filter(({ said }) => said === null).length;
}
