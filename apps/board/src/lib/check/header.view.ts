import { mayWrite, type RecordState } from '@stillmast/record';
import { penInitial } from '$lib/parts/written/pen.js';
import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { penOf } from './people.view.js';
import { flightNow } from './place.view.js';

export interface CheckHeader {
	readonly registration: string;
	/** "flight 2, run 1". */
	readonly place: string;
	/** "E writes", "reads along", or empty while this pen's enrolment is not known here. */
	readonly writes: string;
	/** Why the numbers are not a real aircraft's; null for a flight. */
	readonly frame: 'sample' | 'rehearsal' | null;
}

/** The line that says which aircraft, where in the card and who writes: first in every view. */
export function headerOf(state: RecordState, ownKey: string): CheckHeader {
	const place = flightNow(state);
	return {
		registration: state.opened?.aircraft.registration ?? '',
		place:
			place.flight === 0
				? journey.header.before
				: fill(place.isShort ? journey.header.shortFlightRun : journey.header.flightRun, {
						flight: String(place.flight),
						run: String(place.run),
					}),
		writes: writesWords(state, ownKey),
		frame: state.purpose === 'demo' ? 'sample' : state.purpose === 'rehearsal' ? 'rehearsal' : null,
	};
}

function writesWords(state: RecordState, ownKey: string): string {
	const role = state.people.get(ownKey)?.role;
	const { purpose } = state;
	if (role === undefined || purpose === null) return '';
	// the same table that judges entries: whoever may not even remark writes nothing
	return mayWrite(role, 'remark', { purpose, creator: false, own: true, reasoned: false })
		? fill(english.pen.writes, { pen: penInitial(penOf(state, ownKey)) })
		: journey.header.readsAlong;
}
