import { randomFrom } from '../random.js';
import type { Fit } from './fit.js';
import type { Posterior } from './posterior.js';
import { forward } from './triangles.js';

/**
 * Draws of how a kind acts against the table, 1 where the table is right: its common factor with the channels' and
 * adjusters' own parts averaged in (channels by the square of their coefficient), as that is what was seen.
 */
export function drawFactors(
	posterior: Posterior,
	m: number,
	draws: number,
	seed: number,
): readonly { readonly re: number; readonly im: number }[] {
	const random = randomFrom(seed);
	const factors: { re: number; im: number }[] = [];
	let reached = 0;
	for (const { weight, fit } of posterior.members) {
		reached += weight * draws;
		const { re, im, a, b, c } = factorOf(posterior, fit, m);
		while (factors.length < Math.round(reached)) {
			const first = random.normal();
			const second = random.normal();
			factors.push({ re: re + a * first, im: im + b * first + c * second });
		}
	}
	return factors;
}

/** Mean (re, im) of the factor and the lower triangle [a 0; b c] of its covariance, under one member. */
function factorOf(
	posterior: Posterior,
	fit: Fit,
	m: number,
): { re: number; im: number; a: number; b: number; c: number } {
	const { layout, plan } = posterior;
	const { prior, values } = fit;
	const kinds = layout.kinds.length;
	const shares = channelShares(posterior, m);
	const own = layout.adjusters.map((_, j) => j).filter((j) => layout.kindOf[j] === m);
	let sumRe = 1;
	let sumIm = 0;
	for (const [k, share] of shares.entries()) {
		sumRe += share * values.channelOwn[2 * (k * kinds + m)]!;
		sumIm += share * values.channelOwn[2 * (k * kinds + m) + 1]!;
	}
	for (const j of own) {
		sumRe += values.own[2 * j]! / own.length;
		sumIm += values.own[2 * j + 1]! / own.length;
	}
	const gRe = values.factor[2 * m]!;
	const gIm = values.factor[2 * m + 1]!;
	const size = Math.hypot(prior.factor[2 * m]!, prior.factor[2 * m + 1]!) || 1;
	const cos = prior.factor[2 * m]! / size;
	const sin = prior.factor[2 * m + 1]! / size;
	// ∂/∂(along, across): (sum)·exp(iφ)·(along, i·across); ∂/∂(an own part): share·factor, circular
	const turnedRe = sumRe * cos - sumIm * sin;
	const turnedIm = sumRe * sin + sumIm * cos;
	const rows = [0, 1].map((axis) => {
		const global = new Float64Array(plan.globals);
		global[plan.factorAt(m)] = prior.alongSd[m]! * (axis === 0 ? turnedRe : turnedIm);
		global[plan.factorAt(m) + 1] = prior.acrossSd[m]! * (axis === 0 ? -turnedIm : turnedRe);
		const circular = (sd: number): readonly [number, number] =>
			axis === 0 ? [sd * gRe, -sd * gIm] : [sd * gIm, sd * gRe];
		for (const j of own) global.set(circular(prior.adjusterSd[j]! / own.length), plan.ownAt(j));
		const locals = shares.map((share, k) => {
			const local = new Float64Array(plan.locals);
			local.set(circular(share * prior.channelSd[k * kinds + m]!), 2 * m);
			return local;
		});
		return whitened(posterior, fit, locals, global);
	});
	const [first, second] = rows as [Float64Array, Float64Array];
	const dot = (x: Float64Array, y: Float64Array): number => x.reduce((sum, value, i) => sum + value * y[i]!, 0);
	const a = Math.sqrt(dot(first, first));
	const b = a > 0 ? dot(first, second) / a : 0;
	return {
		re: gRe * sumRe - gIm * sumIm,
		im: gRe * sumIm + gIm * sumRe,
		a,
		b,
		c: Math.sqrt(Math.max(0, dot(second, second) - b * b)),
	};
}

/** Weight of each channel in a kind's mean: the square of its coefficient. */
function channelShares(posterior: Posterior, m: number): number[] {
	const { layout } = posterior;
	const kinds = layout.kinds.length;
	const squares = layout.channels.map((_, k) => {
		const at = 2 * (k * kinds + m);
		return layout.table[at]! ** 2 + layout.table[at + 1]! ** 2;
	});
	const total = squares.reduce((sum, value) => sum + value, 0);
	return squares.map((value) => (total > 0 ? value / total : 0));
}

/** w over all unknowns with R'w = s: the dot product of two such is their covariance. */
function whitened(posterior: Posterior, fit: Fit, locals: readonly Float64Array[], global: Float64Array): Float64Array {
	const { plan } = posterior;
	for (const [k, local] of locals.entries()) {
		const root = fit.localRoots[k]!;
		forward(root, plan.locals, local, 0);
		for (let i = 0; i < plan.globals; i++) {
			const tie = (plan.locals + i) * plan.locals;
			for (let j = 0; j < plan.locals; j++) global[i]! -= root[tie + j]! * local[j]!;
		}
	}
	forward(fit.globalRoot, plan.globals, global, 0);
	return Float64Array.from([...locals.flatMap((local) => [...local]), ...global]);
}
