import type { RotorLayout } from './layout.js';
import type { ErrorPrior } from './prior.js';
import type { Pull } from './response.js';
import type { UnknownPlan, Values } from './unknowns.js';

/** Where the response is made linear: the unknowns spelled out, and what one count of each is worth. */
export interface ModelPoint {
	readonly layout: RotorLayout;
	readonly plan: UnknownPlan;
	readonly prior: ErrorPrior;
	readonly remainderSd: number;
	readonly values: Values;
}

/** Adds ∂v_k/∂z of every unknown at these settings: locals first, then globals; gusts are the caller's. */
export function sensitivity(
	point: ModelPoint,
	k: number,
	pull: Pull,
	moved: Float64Array,
	bendOf: Int32Array,
	re: Float64Array,
	im: Float64Array,
): void {
	const { layout, plan, prior, values } = point;
	const kinds = layout.kinds.length;
	const { locals } = plan;
	for (let m = 0; m < kinds; m++) {
		const at = 2 * (k * kinds + m);
		const tRe = layout.table[at]!;
		const tIm = layout.table[at + 1]!;
		if (tRe === 0 && tIm === 0) continue;
		const gRe = values.factor[2 * m]!;
		const gIm = values.factor[2 * m + 1]!;
		const pRe = pull.plain[2 * m]!;
		const pIm = pull.plain[2 * m + 1]!;
		const oRe = 1 + values.channelOwn[at]!;
		const oIm = values.channelOwn[at + 1]!;
		// channel's own part: T·(fault + factor·plain)
		const fRe = values.fault[2 * m]! + gRe * pRe - gIm * pIm;
		const fIm = values.fault[2 * m + 1]! + gRe * pIm + gIm * pRe;
		circular(re, im, 2 * m, prior.channelSd[k * kinds + m]!, tRe * fRe - tIm * fIm, tRe * fIm + tIm * fRe);
		// fault: T·(1 + own)
		const wRe = tRe * oRe - tIm * oIm;
		const wIm = tRe * oIm + tIm * oRe;
		circular(re, im, locals + plan.faultAt(m), prior.faultSd[m]!, wRe, wIm);
		// factor: T·((1 + own)·plain + own parts), turned to along and across its mean
		const dRe = wRe * pRe - wIm * pIm + tRe * pull.own[2 * m]! - tIm * pull.own[2 * m + 1]!;
		const dIm = wRe * pIm + wIm * pRe + tRe * pull.own[2 * m + 1]! + tIm * pull.own[2 * m]!;
		const size = Math.hypot(prior.factor[2 * m]!, prior.factor[2 * m + 1]!) || 1;
		const c = prior.factor[2 * m]! / size;
		const s = prior.factor[2 * m + 1]! / size;
		const uRe = dRe * c - dIm * s;
		const uIm = dRe * s + dIm * c;
		const factor = locals + plan.factorAt(m);
		re[factor]! += prior.alongSd[m]! * uRe;
		im[factor]! += prior.alongSd[m]! * uIm;
		re[factor + 1]! -= prior.acrossSd[m]! * uIm;
		im[factor + 1]! += prior.acrossSd[m]! * uRe;
		// T·factor, for the adjusters' own parts; T·factor·(1 + own), for bends
		const qRe = tRe * gRe - tIm * gIm;
		const qIm = tRe * gIm + tIm * gRe;
		const bRe = wRe * gRe - wIm * gIm;
		const bIm = wRe * gIm + wIm * gRe;
		for (let j = 0; j < layout.adjusters.length; j++) {
			if (layout.kindOf[j] !== m) continue;
			const eRe = layout.turn[2 * j]!;
			const eIm = layout.turn[2 * j + 1]!;
			const step = moved[j]!;
			if (step !== 0) {
				const own = locals + plan.ownAt(j);
				circular(re, im, own, prior.adjusterSd[j]! * step, qRe * eRe - qIm * eIm, qRe * eIm + qIm * eRe);
			}
			const bend = bendOf[j]!;
			if (bend >= 0) {
				const to = locals + plan.bendAt(bend);
				re[to]! += layout.bends[bend]!.sd * (bRe * eRe - bIm * eIm);
				im[to]! += layout.bends[bend]!.sd * (bRe * eIm + bIm * eRe);
			}
		}
	}
	re[2 * kinds]! += point.remainderSd;
	im[2 * kinds + 1]! += point.remainderSd;
}

/** Adds the two real columns of a complex unknown with a circular spread. */
function circular(re: Float64Array, im: Float64Array, at: number, sd: number, dRe: number, dIm: number): void {
	re[at]! += sd * dRe;
	im[at]! += sd * dIm;
	re[at + 1]! -= sd * dIm;
	im[at + 1]! += sd * dRe;
}
