import type { RecordState } from '@stillmast/record';
import { fill } from '$lib/words/fill.js';
import { journey } from '$lib/words/journey.js';
import { flightNow } from './place.view.js';

/** The one thing a check waits for. */
export function waitsFor(state: RecordState): string {
	const place = flightNow(state);
	if (place.isFlying) return fill(journey.waits.flying, { flight: String(place.flight) });
	if (state.toAgree.length > 0) return fill(journey.waits.agree, { count: String(state.toAgree.length) });
	switch (state.signing.state) {
		case 'signed':
			return journey.waits.signed;
		case 'added-after-signing':
			return journey.waits.added;
		case 'in-part':
			return state.signing.contents.at(-1)?.roles.includes('engineer') ? journey.waits.pilot : journey.waits.engineer;
		case 'unsigned':
			return isFinished(state) ? journey.waits.both : fill(journey.waits.flight, { flight: String(place.flight + 1) });
	}
}

function isFinished(state: RecordState): boolean {
	return state.flights.length > 0 && state.measureAgain.length === 0;
}
