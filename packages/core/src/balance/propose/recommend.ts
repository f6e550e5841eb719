import type { Proposal, RotorState } from '../answer.js';
import type { Adjuster } from '../model.js';
import { isMass } from './allowed.js';

/** What one more change must add to the chance of all inside goal (docs/decisions/0008-a-flight-is-dearer.md). */
const worthAChange = 0.01;
/** With the best chance below this the step is made to learn and to come nearer: chances hardly tell sets apart. */
const poorChance = 0.5;
/** Chances are counted from draws: closer than this they are the same. */
const sameChance = 1e-9;

/**
 * Index of the proposal to make: the one with the greatest chance of all inside goal, less 0.01 for each of its changes;
 * while the best chance is poor, the set nearest to the goals. Ties by fewer changes, effort and then mass. Nothing at
 * all when the last run is inside its goals already.
 */
export function recommend(proposals: readonly Proposal[], state: RotorState, adjusters: readonly Adjuster[]): number {
	const none = proposals.findIndex((p) => p.touches === 0);
	if (state.withinGoal === true && none >= 0) return none;
	const poor = Math.max(...proposals.map((p) => p.chanceAllWithinGoal)) < poorChance;
	const gain = (p: Proposal): number => (poor ? -p.worstRatioToGoal : p.chanceAllWithinGoal - worthAChange * p.touches);
	const most = Math.max(...proposals.map(gain));
	const byId = new Map(adjusters.map((a) => [a.id, a]));
	const effort = (p: Proposal): number => p.changes.reduce((sum, c) => sum + (byId.get(c.adjuster)?.effort ?? 1), 0);
	const mass = (p: Proposal): number =>
		adjusters.reduce((sum, a) => sum + (isMass(a) ? Math.abs(p.settings[a.id]!) : 0), 0);
	const order = proposals
		.map((p, index) => ({ p, index }))
		.filter(({ p }) => gain(p) >= most - sameChance)
		.sort((a, b) => a.p.touches - b.p.touches || effort(a.p) - effort(b.p) || mass(a.p) - mass(b.p));
	return order[0]?.index ?? 0;
}
