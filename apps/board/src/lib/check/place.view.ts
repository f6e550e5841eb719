import type { Card, CardStep } from '@stillmast/formats/card';
import type { FlightState, RecordState } from '@stillmast/record';
import type { RibbonState, RibbonStep } from '$lib/parts/ribbon/ribbon.view.js';
import { isStale, newestGroup } from './lane-reading.view.js';

/** Where the check stands: which flight is open, which run, which step is next. */
export interface Place {
	/** Number of the newest flight, 0 before the first. */
	readonly flight: number;
	readonly isFlying: boolean;
	/** Newest run begun in that flight; 1 before it is. */
	readonly run: number;
	readonly steps: readonly PlacedStep[];
	/** First step of the open flight that is neither done nor left; null when none is. */
	readonly nextStepId: string | null;
}

export interface PlacedStep {
	readonly step: CardStep;
	readonly state: Exclude<RibbonState, 'now'>;
}

export function placeOf(state: RecordState, card: Card): Place {
	const newest = state.flights.filter((flight) => flight.opened !== null).at(-1);
	const isFlying = newest !== undefined && newest.closed === null;
	const steps = card.steps.map((step) => ({ step, state: stepState(state, newest, isFlying, step) }));
	return {
		flight: newest?.flight ?? 0,
		isFlying,
		run: newest?.runs.at(-1)?.run ?? 1,
		steps,
		nextStepId: steps.find((placed) => placed.state === 'ahead' || placed.state === 'again')?.step.id ?? null,
	};
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

function stepState(
	state: RecordState,
	flight: FlightState | undefined,
	isFlying: boolean,
	step: CardStep,
): PlacedStep['state'] {
	const written = flight?.steps.get(step.id);
	const said = (written?.holds ?? written?.entries.at(-1))?.state;
	if (said === 'later' || said === 'left-out') return 'left';
	if (said !== 'done') return 'ahead';
	return !isFlying && hasStaleReading(state, step) ? 'again' : 'done';
}

function hasStaleReading(state: RecordState, step: CardStep): boolean {
	return step.fields.some((field) => {
		if (field.kind !== 'vibration') return false;
		const group = newestGroup(state, field.rotor, field.channel);
		return group !== undefined && isStale(state, field.rotor, field.channel, group.flight);
	});
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
