import type { Card } from '@stillmast/formats/card';
import type { RecordState } from '@stillmast/record';
import { penInitial } from '$lib/parts/written/pen.js';
import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { penOf } from './people.view.js';
import { placeOf } from './place.view.js';

export interface CheckHeader {
	readonly registration: string;
	/** "flight 2, run 1". */
	readonly place: string;
	/** "E writes", or empty while this pen's enrolment is not known here. */
	readonly writes: string;
	/** Why the numbers are not a real aircraft's; null for a flight. */
	readonly frame: 'sample' | 'rehearsal' | null;
}

/** The line that says which aircraft, where in the card and who writes: first in every view. */
export function headerOf(state: RecordState, card: Card, ownKey: string): CheckHeader {
	const place = placeOf(state, card);
	return {
		registration: state.opened?.aircraft.registration ?? '',
		place:
			place.flight === 0
				? journey.header.before
				: fill(journey.header.flightRun, { flight: String(place.flight), run: String(place.run) }),
		writes: state.people.has(ownKey) ? fill(english.pen.writes, { pen: penInitial(penOf(state, ownKey)) }) : '',
		frame: state.purpose === 'demo' ? 'sample' : state.purpose === 'rehearsal' ? 'rehearsal' : null,
	};
}
