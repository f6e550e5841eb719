import type { Card } from '@stillmast/formats/card';
import type { EntryOf, FieldsOf } from '@stillmast/formats/entry';
import type { FlightState, RecordState } from '../fold/state.js';

/** Members of a run's context that name the steps of a short card: `step/hover`. */
const stepMember = /^step\/(.+)$/;

/** What is written of a step, and why it was put off; an empty reason is none. */
export interface StepSaid {
	readonly state: EntryOf<'step'>['state'];
	readonly reason: string;
}

/** The newest flight that was opened. */
export function newestFlight(state: RecordState): FlightState | undefined {
	return state.flights.filter(({ opened }) => opened !== null).at(-1);
}

/** The entry by which a flight is begun with these steps only. */
export function shortCardContext(flight: number, run: number, steps: readonly string[]): FieldsOf<'run'> {
	const context = Object.fromEntries(steps.map((id) => [`step/${id}`, true]));
	return { flight, run, state: 'context', regime: null, context };
}

/** The steps that a flight was begun with; null for the whole card. */
export function shortCardOf({ runs }: FlightState): ReadonlySet<string> | null {
	const context = runs[0]?.contexts.get('')?.holds?.context ?? {};
	const steps = Object.keys(context).flatMap((member) => stepMember.exec(member)?.[1] ?? []);
	return steps.length === 0 ? null : new Set(steps);
}

/**
 * What is written of each step. Of steps that a short card leaves out, earlier flights tell. A flight that was stopped
 * puts off what it did not come to. @rule CRD-13 CRD-14
 */
export function saidOfSteps(
	state: RecordState,
	card: Card,
	flight: FlightState | undefined = newestFlight(state),
): ReadonlyMap<string, StepSaid> {
	if (flight === undefined) return new Map();
	const flown = shortCardOf(flight);
	const before = flown === null ? undefined : earlierThan(state, flight);
	const earlier = before === undefined ? new Map<string, StepSaid>() : saidOfSteps(state, card, before);
	const stopped = state.of.stopped.filter((one) => one.flight === flight.flight).at(-1);
	return new Map(
		card.steps.flatMap(({ id }): (readonly [string, StepSaid])[] => {
			const settled = flight.steps.get(id);
			const written = settled?.holds ?? settled?.entries.at(-1);
			if (written !== undefined) return [[id, { state: written.state, reason: written.reason ?? '' }]];
			if (flown !== null && !flown.has(id)) {
				const told = earlier.get(id);
				return told === undefined ? [] : [[id, told]];
			}
			return stopped !== undefined && flight.closed !== null ? [[id, { state: 'later', reason: stopped.reason }]] : [];
		}),
	);
}

function earlierThan(state: RecordState, { flight }: FlightState): FlightState | undefined {
	return state.flights.filter((one) => one.opened !== null && one.flight < flight).at(-1);
}
