import type { RecordState } from '@stillmast/record';
import { planted } from '$lib/words/aircraft.js';

/** What a visitor may say happened; ids are the audit's own. */
export type PlantedAnswer = keyof typeof planted.answers;

/** Where the search for the planted mistake stands. */
export type Planted = { readonly state: 'open' | 'found' | 'missed'; readonly answer: PlantedAnswer | null };

/** The check of demo-scenarios/wrong-blade, by its card. */
const plantedCard = 'dunlin-5-smoothing';
const truth: PlantedAnswer = 'next-arm';

export const plantedAnswers = Object.keys(planted.answers) as readonly PlantedAnswer[];

/** `null` for every check but the sample; else what the newest answer in the record makes of it. */
export function plantedOf(state: RecordState, cardId: string): Planted | null {
	if (state.purpose !== 'demo' || cardId !== plantedCard) return null;
	const said = state.of.use.findLast((use) => use.what === 'explanation');
	const answer = said === undefined ? undefined : plantedAnswers.find((one) => one === said.explanation);
	if (answer === undefined) return { state: 'open', answer: null };
	return { state: answer === truth ? 'found' : 'missed', answer };
}

/** The entry that says which explanation somebody takes for true. */
export function plantedUse(answer: PlantedAnswer) {
	return {
		what: 'explanation',
		rotor: 'main',
		flight: 2,
		run: 1,
		explanation: answer,
		scope: 'last-change',
		reason: planted.reason,
	} as const;
}
