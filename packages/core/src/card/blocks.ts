import type { BlockReason, CardFacts, CardStepModel, EntryCondition } from './model.js';

/** What is known against flying a step now, in the order in which a crew would deal with it. */
export function blocksOf(step: CardStepModel, facts: CardFacts): BlockReason[] {
	return [
		...inspection(step, facts),
		...review(step, facts),
		...missing(step, facts),
		...stops(step, facts),
		...entry(step, facts),
	];
}

/** Flight-control work carries an outstanding inspection until another pen has made it. @rule CRD-5 */
function inspection(step: CardStepModel, { inspectionsOpen }: CardFacts): BlockReason[] {
	return flies(step) && inspectionsOpen > 0 ? [{ code: 'inspection-outstanding', found: inspectionsOpen }] : [];
}

/** Open items are gone through before a flight, not found during it. @rule CRD-11 */
function review(step: CardStepModel, { notReviewed }: CardFacts): BlockReason[] {
	return flies(step) && notReviewed.length > 0 ? [{ code: 'not-reviewed', found: notReviewed }] : [];
}

function flies({ regimeKt, isAirborne }: CardStepModel): boolean {
	return isAirborne === true || (regimeKt !== undefined && regimeKt !== null);
}

function missing(step: CardStepModel, { written }: CardFacts): BlockReason[] {
	return step.needs
		.filter((id) => written.get(id) !== 'done')
		.map((needed) => ({ code: 'needs-step', needed }) as const);
}

/** At or above a stop, no faster regime: ground before hover before speed. @rule CRD-4 */
function stops(step: CardStepModel, facts: CardFacts): BlockReason[] {
	if (step.regimeKt === undefined) return [];
	const here = rank(step.regimeKt);
	return facts.stops
		.filter((stop) => !facts.stale.has(stop.result) && rank(stop.regimeKt) < here)
		.map((found) => ({ code: 'stop-reached', found }) as const);
}

function entry(step: CardStepModel, { quantities }: CardFacts): BlockReason[] {
	return step.entry.flatMap((needed): BlockReason[] => {
		const { quantity } = needed;
		const found = quantities[quantity];
		if (found === undefined) return [{ code: 'entry-unknown', quantity, needed }];
		return holds(found, needed) ? [] : [{ code: 'entry-outside', quantity, found, needed }];
	});
}

function holds(found: number, { atLeast, atMost }: EntryCondition): boolean {
	return (atLeast === undefined || found >= atLeast) && (atMost === undefined || found <= atMost);
}

/** On the ground comes before the hover, and the hover before any speed. */
function rank(regimeKt: number | null): number {
	return regimeKt ?? -1;
}
