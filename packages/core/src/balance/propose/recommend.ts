import type { Proposal, RotorState } from '../answer.js';
import type { Adjuster } from '../model.js';
import { isMass } from './allowed.js';

/** Chances closer than this are the same answer; then less work wins (docs/decisions/0008-a-flight-is-dearer.md). */
const sameChance = 0.01;
/** With the best chance below this the step is made to learn and to come nearer: chances hardly tell sets apart. */
const poorChance = 0.5;

/**
 * Index of the proposal to make: the fewest changes whose chance of all inside goal is within 0.01 of the best, or, while
 * that best is poor, the set nearest to the goals; ties by effort and then mass. Nothing at all when
 * the last run is inside its goals already.
 */
export function recommend(proposals: readonly Proposal[], state: RotorState, adjusters: readonly Adjuster[]): number {
	const none = proposals.findIndex((p) => p.touches === 0);
	if (state.withinGoal === true && none >= 0) return none;
	const best = Math.max(...proposals.map((p) => p.chanceAllWithinGoal));
	const nearest = Math.min(...proposals.map((p) => p.worstRatioToGoal));
	const worthIt = (p: Proposal): boolean =>
		best >= poorChance ? p.chanceAllWithinGoal >= best - sameChance : p.worstRatioToGoal === nearest;
	const byId = new Map(adjusters.map((a) => [a.id, a]));
	const effort = (p: Proposal): number => p.changes.reduce((sum, c) => sum + (byId.get(c.adjuster)?.effort ?? 1), 0);
	const mass = (p: Proposal): number =>
		adjusters.reduce((sum, a) => sum + (isMass(a) ? Math.abs(p.settings[a.id]!) : 0), 0);
	const order = proposals
		.map((p, index) => ({ p, index }))
		.filter(({ p }) => worthIt(p))
		.sort((a, b) => a.p.touches - b.p.touches || effort(a.p) - effort(b.p) || mass(a.p) - mass(b.p));
	return order[0]?.index ?? 0;
}
