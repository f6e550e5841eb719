import { blocksOf } from './blocks.js';
import { checkLevel } from './level.js';
import type { CardFacts, CardStanding, CardStepModel, StepStanding } from './model.js';

/**
 * Where a card stands: each step's state, what is known against flying it, which is next, and which make up a short
 * card. It tells what is known; it never says that a step may be flown.
 * @param steps in the card's order; those of a short card are the next ones only. @rule CRD-13
 */
export function evaluateCard(steps: readonly CardStepModel[], facts: CardFacts): CardStanding {
	const standings = steps.map((step) => standingOf(step, facts));
	return {
		steps: standings,
		next: standings.find(({ id, state }) => isAhead(state) && (facts.flown?.has(id) ?? true))?.id ?? null,
		shortCard: standings.filter(({ state }) => state === 'later' || state === 'again').map(({ id }) => id),
		level: checkLevel(steps),
	};
}

function isAhead(state: StepStanding['state']): boolean {
	return state === 'ahead' || state === 'again';
}

/** What was put off keeps the reason that was written with it. @rule CRD-10 */
function standingOf(step: CardStepModel, facts: CardFacts): StepStanding {
	const state = stateOf(step, facts);
	const isLeft = state === 'later' || state === 'left-out';
	return {
		id: step.id,
		state,
		reason: isLeft ? (facts.reasons.get(step.id) ?? null) : null,
		blocks: blocksOf(step, facts),
	};
}

/** Done once is not done for ever: a change made since makes it stale unless the type says otherwise. @rule CRD-2 */
function stateOf(step: CardStepModel, { written, stale, flown, isFlying = false }: CardFacts): StepStanding['state'] {
	const said = written.get(step.id);
	if (said === undefined) return 'ahead';
	if (said !== 'done') return said;
	const isOfThisFlight = isFlying && (flown?.has(step.id) ?? true);
	return !isOfThisFlight && step.gives.some((result) => stale.has(result)) ? 'again' : 'done';
}
