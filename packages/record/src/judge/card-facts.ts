import type { CardFacts, CardStepModel, StopReading } from '@stillmast/core/card';
import { type Card, type CardField, type CardStep, fieldSubjects } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { FlightState, RecordState, VibrationGroup } from '../fold/state.js';
import { flightConditions } from './flight-conditions.js';
import { openItems } from './open-items.js';
import { newestFlight, saidOfSteps, shortCardOf } from './short-flight.js';

/** The card's steps as the core judges them. What a step measures it gives, by the names that the fold uses for results. */
export function cardModel(card: Card, typeData: TypeData): CardStepModel[] {
	return card.steps.map((step) => ({
		id: step.id,
		...(step.regime === undefined ? {} : { regimeKt: regimeKtOf(step) }),
		isAirborne: ['lift-off', 'hover', 'climb', 'level', 'descent'].includes(step.phase),
		procedure: step.procedure ?? 'normal',
		needs: step.needs ?? [],
		gives: step.fields.flatMap((field) => resultsOf(field, typeData)),
		entry: (step.entry ?? []).map(({ quantity, atLeast, atMost }) => ({
			quantity,
			...(atLeast === undefined ? {} : { atLeast }),
			...(atMost === undefined ? {} : { atMost }),
		})),
	}));
}

function resultsOf(field: CardField, typeData: TypeData): readonly string[] {
	if (field.kind === 'vibration') return [vibrationResult(field.rotor, field.channel)];
	return [field.id, ...fieldSubjects(field, typeData).map(({ subject }) => subject)];
}

/** What the record knows that a card is judged by: of the newest flight, with the settings now on the aircraft. */
export function cardFacts(state: RecordState, card: Card, typeData: TypeData): CardFacts {
	const flight = newestFlight(state);
	const isFlying = flight !== undefined && flight.closed === null;
	const next = flight === undefined ? 1 : flight.flight + (isFlying ? 0 : 1);
	const flown = flight === undefined ? null : shortCardOf(flight);
	const said = saidOfSteps(state, card, flight);
	return {
		written: new Map([...said].map(([id, one]) => [id, one.state])),
		reasons: new Map([...said].flatMap(([id, { reason }]) => (reason === '' ? [] : [[id, reason] as const]))),
		isFlying,
		...(flown === null ? {} : { flown }),
		stale: new Set(state.measureAgain.map(({ result }) => result)),
		stops: stopReadings(state, card, typeData),
		inspectionsOpen: [...state.rotors.values()].reduce((sum, rotor) => sum + rotor.inspectionsOpen.length, 0),
		notReviewed: openItems(state, next)
			.filter(({ reviewed }) => reviewed === null || reviewed === 'differ')
			.map(({ item }) => item),
		quantities: quantitiesOf(state, flight, next),
	};
}

/** While two readings differ, the greater one stands: nobody has narrowed it yet. */
function stopReadings(state: RecordState, card: Card, typeData: TypeData): StopReading[] {
	return newestGroups(state.vibrations).flatMap((group) => {
		const rotor = typeData.rotors.find(({ id }) => id === group.rotor);
		const channel = rotor?.channels.find(({ id }) => id === group.channel);
		if (channel === undefined) return [];
		const amplitudeIps = group.holds?.amplitudeIps ?? Math.max(...group.entries.map((one) => one.amplitudeIps));
		if (amplitudeIps < channel.stopIps) return [];
		const step = card.steps.find(({ regime }) => regime === channel.regime);
		const result = vibrationResult(group.rotor, group.channel);
		return [{ result, regimeKt: step === undefined ? null : regimeKtOf(step), amplitudeIps, stopIps: channel.stopIps }];
	});
}

function newestGroups(groups: readonly VibrationGroup[]): VibrationGroup[] {
	const newest = new Map<string, VibrationGroup>();
	for (const group of groups) {
		const key = vibrationResult(group.rotor, group.channel);
		const known = newest.get(key);
		if (known === undefined || known.flight < group.flight || (known.flight === group.flight && known.run <= group.run))
			newest.set(key, group);
	}
	return [...newest.values()];
}

/**
 * Of the flight that is open. Between two flights those of the next one as soon as anything is written down for it;
 * until then those under which the last one was flown, which its steps are still judged by.
 */
function quantitiesOf(state: RecordState, flight: FlightState | undefined, next: number): Record<string, number> {
	const known: Record<string, number> = {};
	for (const [field, said] of state.header) {
		if (typeof said.holds?.value === 'number') known[field] = said.holds.value;
	}
	const ahead = flightConditions(state, next);
	const conditions = ahead.length > 0 || flight === undefined ? ahead : flightConditions(state, flight.flight);
	for (const { quantity, value } of conditions) known[quantity] = value;
	return known;
}

/** On the ground a regime has no airspeed that could be compared with another's. */
function regimeKtOf(step: CardStep): number | null {
	return step.phase === 'ground' ? null : (step.iasKt ?? 0);
}

function vibrationResult(rotor: string, channel: string): string {
	return `vibration/${rotor}/${channel}`;
}
