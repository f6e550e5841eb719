import type { RotorLayout } from './layout.js';
import type { ErrorPrior } from './prior.js';

/**
 * The unknowns, each as a count of its own prior standard deviations (so every prior is a standard normal).
 * Global: per kind the factor (along, across) and the fault (re, im); per adjuster its own part; per run the shared gust;
 * per bend its setting error. Local to a channel: its own part of each kind and the remainder.
 */
export interface UnknownPlan {
	readonly globals: number;
	readonly locals: number;
	readonly factorAt: (kind: number) => number;
	readonly faultAt: (kind: number) => number;
	readonly ownAt: (adjuster: number) => number;
	/** −1 when nothing is shared. */
	readonly gustAt: (run: number) => number;
	readonly bendAt: (bend: number) => number;
}

export function planUnknowns(layout: RotorLayout): UnknownPlan {
	const kinds = layout.kinds.length;
	const adjusters = layout.adjusters.length;
	const shared = (layout.problem.noise.commonShare ?? 0) > 0;
	const gusts = shared ? layout.runs.length : 0;
	const firstGust = 4 * kinds + 2 * adjusters;
	return {
		globals: firstGust + 2 * gusts + layout.bends.length,
		locals: 2 * kinds + 2,
		factorAt: (kind) => 4 * kind,
		faultAt: (kind) => 4 * kind + 2,
		ownAt: (adjuster) => 4 * kinds + 2 * adjuster,
		gustAt: (run) => (shared ? firstGust + 2 * run : -1),
		bendAt: (bend) => firstGust + 2 * gusts + bend,
	};
}

/** The unknowns in ips and units of setting. */
export interface Values {
	/** Common factor per kind (re, im); 1 where the table is right. */
	readonly factor: Float64Array;
	/** Starting fault per kind, in units of setting, as the table's coefficient would have to carry it. */
	readonly fault: Float64Array;
	readonly own: Float64Array;
	readonly gust: Float64Array;
	readonly bend: Float64Array;
	/** Channel's own part of (channel, kind). */
	readonly channelOwn: Float64Array;
	readonly remainder: Float64Array;
}

export function blankValues(layout: RotorLayout): Values {
	const kinds = layout.kinds.length;
	const channels = layout.channels.length;
	return {
		factor: new Float64Array(2 * kinds),
		fault: new Float64Array(2 * kinds),
		own: new Float64Array(2 * layout.adjusters.length),
		gust: new Float64Array(2 * layout.runs.length),
		bend: new Float64Array(layout.bends.length),
		channelOwn: new Float64Array(2 * channels * kinds),
		remainder: new Float64Array(2 * channels),
	};
}

/** Turns counts of standard deviations into values, in place. `local` is channels × locals. */
export function spell(
	layout: RotorLayout,
	plan: UnknownPlan,
	prior: ErrorPrior,
	remainderSd: number,
	global: Float64Array,
	local: Float64Array,
	into: Values,
): void {
	const kinds = layout.kinds.length;
	for (let m = 0; m < kinds; m++) {
		const at = plan.factorAt(m);
		const re = prior.factor[2 * m]!;
		const im = prior.factor[2 * m + 1]!;
		const size = Math.hypot(re, im) || 1;
		const along = (prior.alongSd[m]! * global[at]!) / size;
		const across = (prior.acrossSd[m]! * global[at + 1]!) / size;
		into.factor[2 * m] = re + along * re - across * im;
		into.factor[2 * m + 1] = im + along * im + across * re;
		const fault = plan.faultAt(m);
		into.fault[2 * m] = prior.faultMean[2 * m]! + prior.faultSd[m]! * global[fault]!;
		into.fault[2 * m + 1] = prior.faultMean[2 * m + 1]! + prior.faultSd[m]! * global[fault + 1]!;
	}
	for (let j = 0; j < layout.adjusters.length; j++) {
		const at = plan.ownAt(j);
		into.own[2 * j] = prior.adjusterSd[j]! * global[at]!;
		into.own[2 * j + 1] = prior.adjusterSd[j]! * global[at + 1]!;
	}
	for (let r = 0; r < layout.runs.length; r++) {
		const at = plan.gustAt(r);
		if (at < 0) continue;
		into.gust[2 * r] = global[at]!;
		into.gust[2 * r + 1] = global[at + 1]!;
	}
	for (const [e, bend] of layout.bends.entries()) into.bend[e] = bend.sd * global[plan.bendAt(e)]!;
	for (let k = 0; k < layout.channels.length; k++) {
		const at = k * plan.locals;
		for (let m = 0; m < kinds; m++) {
			const to = 2 * (k * kinds + m);
			const sd = prior.channelSd[k * kinds + m]!;
			into.channelOwn[to] = sd * local[at + 2 * m]!;
			into.channelOwn[to + 1] = sd * local[at + 2 * m + 1]!;
		}
		into.remainder[2 * k] = remainderSd * local[at + 2 * kinds]!;
		into.remainder[2 * k + 1] = remainderSd * local[at + 2 * kinds + 1]!;
	}
}
