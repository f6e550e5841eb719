import type { Card, CardField, CardFieldOf } from '@stillmast/formats/card';
import type { RecordState } from '@stillmast/record';

/** Fields of one kind, in the order of the card. */
export function fieldsOf<K extends CardField['kind']>(card: Card, kind: K): CardFieldOf<K>[] {
	return card.steps.flatMap(({ fields }) => fields.filter((field): field is CardFieldOf<K> => field.kind === kind));
}

/** The newest flight in which anything is written under a field; null before any. */
export function newestFlightOf(state: RecordState, fieldId: string): number | null {
	const isOf = (id: string | undefined) => id !== undefined && (id === fieldId || id.startsWith(`${fieldId}/`));
	const flights = [
		...state.readings.filter(({ subject }) => isOf(subject)).map(({ flight }) => flight),
		...state.of.hold.filter(({ field }) => isOf(field)).map(({ flight }) => flight),
		...state.of.attempt.filter(({ field }) => isOf(field)).map(({ flight }) => flight),
	];
	return flights.length === 0 ? null : Math.max(...flights);
}
