import { evaluateCard } from '@stillmast/core/card';
import type { Card } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { cardFacts, cardModel } from '@stillmast/record/judge';

/** Titles of the steps that the next flight has to go through: left for later, or to be measured again. */
export function shortCard(state: RecordState, card: Card, typeData: TypeData): string[] {
	const ids = new Set(evaluateCard(cardModel(card, typeData), cardFacts(state, card, typeData)).shortCard);
	return card.steps.filter(({ id }) => ids.has(id)).map(({ title }) => title);
}
