import type { Fit } from './fit.js';
import type { RotorLayout } from './layout.js';
import type { UnknownPlan } from './unknowns.js';

/** What the runs taught: a mixture over the sizes of error that the evidence leaves open, likeliest first. */
export interface Posterior {
	readonly layout: RotorLayout;
	readonly plan: UnknownPlan;
	readonly members: readonly Member[];
}

export interface Member {
	readonly weight: number;
	readonly fit: Fit;
}
