import type { EntryOf } from '@stillmast/formats/entry';
import type { RecordState } from '@stillmast/record';
import { penInitial } from '$lib/parts/written/pen.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { penOf } from './people.view.js';

/** A proposal that stands in the record, with whose it is. */
export interface ProposedNow {
	readonly proposal: EntryOf<'proposal'>;
	/** "S". */
	readonly pen: string;
	/** "S proposes: Blade A: add 1 plate (2 to 3)". */
	readonly words: string;
	readonly isInUse: boolean;
}

/** Proposals for a rotor at this ground time, newest first; older ones are answered by what was flown since. */
export function proposedNow(state: RecordState, rotor: string, after: number): ProposedNow[] {
	const used = new Set(state.of.use.flatMap((use) => (use.what === 'proposal' ? [use.proposal] : [])));
	return state.of.proposal
		.filter((one) => one.rotor === rotor && one.after === after)
		.map((proposal) => {
			const pen = penInitial(penOf(state, proposal.by));
			const words = fill(journey.workshop.proposed, { pen, words: proposal.text });
			return { proposal, pen, words, isInUse: used.has(proposal.hash) };
		})
		.reverse();
}
