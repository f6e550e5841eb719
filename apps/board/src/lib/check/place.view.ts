import { evaluateCard, type StepStanding } from '@stillmast/core/card';
import type { Card, CardStep } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { cardFacts, cardModel, newestFlight, shortCardOf } from '@stillmast/record/judge';
import type { RibbonState, RibbonStep } from '$lib/parts/ribbon/ribbon.view.js';

/** Which flight the check is in. */
export interface FlightNow {
	/** Number of the newest flight, 0 before the first. */
	readonly flight: number;
	readonly isFlying: boolean;
	/** Newest run begun in that flight; 1 before it is. */
	readonly run: number;
	/** Begun with some of the card's steps only. */
	readonly isShort: boolean;
}

/** Where the check stands: which flight is open, which run, which step is next. */
export interface Place extends FlightNow {
	readonly steps: readonly PlacedStep[];
	/** First step of the open flight that is neither done nor left; null when none is. */
	readonly nextStepId: string | null;
	/** Steps that the next flight would have to go through: put off, or to be measured again. */
	readonly shortCard: readonly CardStep[];
}

export interface PlacedStep {
	readonly step: CardStep;
	readonly state: Exclude<RibbonState, 'now'>;
	/** Belongs to the flight; a short card leaves the others out. */
	readonly isFlown: boolean;
}

export function flightNow(state: RecordState): FlightNow {
	const newest = newestFlight(state);
	return {
		flight: newest?.flight ?? 0,
		isFlying: newest !== undefined && newest.closed === null,
		run: newest?.runs.at(-1)?.run ?? 1,
		isShort: newest !== undefined && shortCardOf(newest) !== null,
	};
}

/** The card as the core judges it; nothing of it is decided here. */
export function placeOf(state: RecordState, card: Card, typeData: TypeData): Place {
	const facts = cardFacts(state, card, typeData);
	const standing = evaluateCard(cardModel(card, typeData), facts);
	const of = new Map(standing.steps.map((one) => [one.id, one.state]));
	return {
		...flightNow(state),
		steps: card.steps.map((step) => ({
			step,
			state: drawnAs(of.get(step.id) ?? 'ahead'),
			isFlown: facts.flown?.has(step.id) ?? true,
		})),
		nextStepId: standing.next,
		shortCard: card.steps.filter(({ id }) => standing.shortCard.includes(id)),
	};
}

function drawnAs(state: StepStanding['state']): PlacedStep['state'] {
	return state === 'later' || state === 'left-out' ? 'left' : state;
}

/** The card as the ribbon draws it; `nowId` is the step on the glass. */
export function ribbonSteps(place: Place, nowId: string | null): RibbonStep[] {
	return place.steps.map(({ step, state }) => ({
		id: step.id,
		title: step.title,
		rise: riseOf(step),
		state: step.id === nowId ? 'now' : state,
	}));
}

/** Height in the silhouette, 0 on the ground to 1 at 130 kt level. */
function riseOf(step: CardStep): number {
	switch (step.phase) {
		case 'preparation':
		case 'ground':
		case 'landing':
		case 'after':
			return 0;
		case 'lift-off':
			return 0.25;
		case 'hover':
			return 0.4;
		case 'climb':
		case 'descent':
			return 0.6;
		case 'level':
			return 0.55 + Math.min(0.45, (step.iasKt ?? 0) / 290);
	}
}
