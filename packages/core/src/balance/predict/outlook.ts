import type { Fit } from '../learn/fit.js';
import { settingSdOf } from '../learn/layout.js';
import type { Posterior } from '../learn/posterior.js';
import { pullOf, respond } from '../learn/response.js';
import { sensitivity } from '../learn/sensitivity.js';
import { forward } from '../learn/triangles.js';

/**
 * A member of the posterior made ready to predict. The level of a channel is linear in what may change:
 * y = (1, bend errors in force, settings moved); each part has a mean and a spread.
 */
export interface Outlook {
	readonly weight: number;
	readonly fit: Fit;
	/** Parts: 1 + bends in force + adjusters. */
	readonly parts: number;
	/** Per channel: mean (re, im) of each part at 2·part. */
	readonly means: readonly Float64Array[];
	/** Per channel: spread of each part, re and im, in `width` independent unit normals: (2·part + axis)·width + i. */
	readonly spreads: readonly Float64Array[];
	/** Numbers per spread: the channel's own first (`own` of them), then the shared ones. */
	readonly width: number;
	readonly own: number;
}

/** Parts common to all members: which adjuster each stands for. */
export interface PartPlan {
	readonly count: number;
	/** Adjusters whose last bend is still in force, in part order from 1. */
	readonly bent: readonly number[];
	readonly adjusterPart: (adjuster: number) => number;
}

export function partPlan(posterior: Posterior): PartPlan {
	const { layout } = posterior;
	const inForce = layout.runs.at(-1)?.bendOf;
	const bent = layout.adjusters.map((_, j) => j).filter((j) => (inForce?.[j] ?? -1) >= 0);
	return { count: 1 + bent.length + layout.adjusters.length, bent, adjusterPart: (j) => 1 + bent.length + j };
}

export function outlookOf(posterior: Posterior, weight: number, fit: Fit, parts: PartPlan): Outlook {
	const { layout, plan } = posterior;
	const channels = layout.channels.length;
	const kinds = layout.kinds.length;
	const columns = plan.locals + plan.globals;
	// two more of the channel's own per kind: the product of two errors, see below
	const products = 2 * kinds;
	const width = products + columns;
	const factorVariance = Float64Array.from({ length: kinds }, (_, m) => varianceOfFactor(posterior, fit, m));
	const still = new Float64Array(layout.adjusters.length);
	const noBend = new Int32Array(layout.adjusters.length).fill(-1);
	const inForce = layout.runs.at(-1)?.bendOf ?? noBend;
	const means: Float64Array[] = [];
	const spreads: Float64Array[] = [];
	const re = new Float64Array(columns);
	const im = new Float64Array(columns);
	const base = { re: new Float64Array(columns), im: new Float64Array(columns) };
	const v = new Float64Array(2);
	const trial = { layout, plan, prior: fit.prior, remainderSd: fit.remainderSd, values: fit.values };
	const cases = [
		{ moved: still, bendOf: noBend },
		...parts.bent.map((j) => ({ moved: still, bendOf: only(noBend, j, inForce[j]!) })),
		...layout.adjusters.map((_, j) => ({ moved: unit(still, j), bendOf: noBend })),
	].map((c) => ({ ...c, pull: pullOf(layout, fit.values, c.moved, c.bendOf) }));
	for (let k = 0; k < channels; k++) {
		const mean = new Float64Array(2 * parts.count);
		const spread = new Float64Array(2 * parts.count * width);
		let baseRe = 0;
		let baseIm = 0;
		for (const [p, one] of cases.entries()) {
			re.fill(0);
			im.fill(0);
			respond(layout, fit.values, k, one.pull, v);
			sensitivity(trial, k, one.pull, one.moved, one.bendOf, re, im);
			if (p === 0) {
				baseRe = v[0]!;
				baseIm = v[1]!;
				base.re.set(re);
				base.im.set(im);
			} else {
				v[0]! -= baseRe;
				v[1]! -= baseIm;
				for (let i = 0; i < columns; i++) {
					re[i]! -= base.re[i]!;
					im[i]! -= base.im[i]!;
				}
			}
			mean[2 * p] = v[0]!;
			mean[2 * p + 1] = v[1]!;
			for (const [axis, row] of [re, im].entries()) {
				const at = (2 * p + axis) * width + products;
				spread.set(row, at);
				whiten(fit, k, plan.locals, plan.globals, spread, at);
			}
		}
		for (let j = 0; j < layout.adjusters.length; j++) {
			const m = layout.kindOf[j]!;
			if (m >= 0)
				addProduct(posterior, fit, k, j, factorVariance[m]!, spread, 2 * parts.adjusterPart(j) * width, width);
		}
		means.push(mean);
		spreads.push(spread);
	}
	return { weight, fit, parts: parts.count, means, spreads, width, own: products + plan.locals };
}

/** Sum over both axes of the variance of a kind's common factor. */
function varianceOfFactor(posterior: Posterior, fit: Fit, m: number): number {
	const { globals } = posterior.plan;
	const at = posterior.plan.factorAt(m);
	const { prior } = fit;
	return [prior.alongSd[m]!, prior.acrossSd[m]!].reduce((sum, sd, axis) => {
		const w = new Float64Array(globals);
		w[at + axis] = sd;
		forward(fit.globalRoot, globals, w, 0);
		return sum + w.reduce((total, value) => total + value * value, 0);
	}, 0);
}

/**
 * What the linear spread leaves out: the product of a channel's own error and the common one, T·own·(factor − its mean)
 * per unit of setting. While the common error is large it is as large as the scatter. Independent between channels.
 */
function addProduct(
	posterior: Posterior,
	fit: Fit,
	k: number,
	j: number,
	factorVariance: number,
	spread: Float64Array,
	at: number,
	width: number,
): void {
	const { layout, plan } = posterior;
	const kinds = layout.kinds.length;
	const m = layout.kindOf[j]!;
	const w = new Float64Array(plan.locals);
	w[2 * m] = fit.prior.channelSd[k * kinds + m]!;
	forward(fit.localRoots[k]!, plan.locals, w, 0);
	const size = Math.sqrt(w.reduce((sum, value) => sum + value * value, 0) * factorVariance);
	const t = 2 * (k * kinds + m);
	const re = size * (layout.table[t]! * layout.turn[2 * j]! - layout.table[t + 1]! * layout.turn[2 * j + 1]!);
	const im = size * (layout.table[t]! * layout.turn[2 * j + 1]! + layout.table[t + 1]! * layout.turn[2 * j]!);
	spread[at + 2 * m] = re;
	spread[at + 2 * m + 1] = -im;
	spread[at + width + 2 * m] = im;
	spread[at + width + 2 * m + 1] = re;
}

function only(none: Int32Array, j: number, bend: number): Int32Array {
	const bends = none.slice();
	bends[j] = bend;
	return bends;
}

function unit(still: Float64Array, j: number): Float64Array {
	const moved = still.slice();
	moved[j] = 1;
	return moved;
}

/** w with R'w = s, in place: then w·w is the variance of s·z under the posterior. */
function whiten(fit: Fit, k: number, locals: number, globals: number, s: Float64Array, at: number): void {
	const root = fit.localRoots[k]!;
	forward(root, locals, s, at);
	for (let i = 0; i < globals; i++) {
		const tie = (locals + i) * locals;
		for (let j = 0; j < locals; j++) s[at + locals + i]! -= root[tie + j]! * s[at + j]!;
	}
	forward(fit.globalRoot, globals, s, at + locals);
}

/** What a candidate makes of the parts: 1, the bend errors that stay, the settings moved from the reference. */
export function partsAt(posterior: Posterior, parts: PartPlan, settings: Float64Array): Float64Array {
	const { layout } = posterior;
	const y = new Float64Array(parts.count);
	const now = currentSettings(posterior);
	y[0] = 1;
	for (const [n, j] of parts.bent.entries()) y[1 + n] = settings[j] === now[j] ? 1 : 0;
	for (let j = 0; j < layout.adjusters.length; j++) y[parts.adjusterPart(j)] = settings[j]! - layout.reference[j]!;
	return y;
}

export function currentSettings(posterior: Posterior): Float64Array {
	const { layout } = posterior;
	const last = layout.runs.at(-1);
	return last ? last.moved.map((m, j) => m + layout.reference[j]!) : layout.reference;
}

/** Adjusters a candidate bends anew, with the sd of their setting. */
export function freshBends(posterior: Posterior, settings: Float64Array): readonly { adjuster: number; sd: number }[] {
	const now = currentSettings(posterior);
	return posterior.layout.adjusters
		.map((a, j) => ({ adjuster: j, sd: settings[j] === now[j] ? 0 : settingSdOf(a) }))
		.filter((b) => b.sd > 0);
}
