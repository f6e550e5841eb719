import { randomFrom } from '../random.js';
import type { Posterior } from './learn.js';

/** Draws of a kind's common factor: how it acts against the table, 1 where the table is right. */
export function drawFactors(
	posterior: Posterior,
	m: number,
	draws: number,
	seed: number,
): readonly { readonly re: number; readonly im: number }[] {
	const random = randomFrom(seed);
	const { globals } = posterior.plan;
	const at = posterior.plan.factorAt(m);
	const factors: { re: number; im: number }[] = [];
	let reached = 0;
	for (const { weight, fit } of posterior.members) {
		reached += weight * draws;
		const { a, b, c } = spreadOf(fit.globalRoot, globals, at);
		const re0 = fit.prior.factor[2 * m]!;
		const im0 = fit.prior.factor[2 * m + 1]!;
		const size = Math.hypot(re0, im0) || 1;
		while (factors.length < Math.round(reached)) {
			const first = random.normal();
			const second = random.normal();
			const along = (fit.prior.alongSd[m]! * (fit.global[at]! + a * first)) / size;
			const across = (fit.prior.acrossSd[m]! * (fit.global[at + 1]! + b * first + c * second)) / size;
			factors.push({ re: re0 + along * re0 - across * im0, im: im0 + along * im0 + across * re0 });
		}
	}
	return factors;
}

/** Lower triangle [a 0; b c] of the covariance of two neighbouring globals. */
function spreadOf(root: Float64Array, globals: number, at: number): { a: number; b: number; c: number } {
	const first = inverseColumn(root, globals, at);
	const second = inverseColumn(root, globals, at + 1);
	const dot = (x: Float64Array, y: Float64Array): number => x.reduce((sum, value, i) => sum + value * y[i]!, 0);
	const a = Math.sqrt(dot(first, first));
	const b = a > 0 ? dot(first, second) / a : 0;
	return { a, b, c: Math.sqrt(Math.max(0, dot(second, second) - b * b)) };
}

/** w with R'w = e: its dot products are covariances. */
function inverseColumn(root: Float64Array, order: number, at: number): Float64Array {
	const w = new Float64Array(order);
	w[at] = 1;
	for (let i = at; i < order; i++) {
		let sum = w[i]!;
		for (let j = at; j < i; j++) sum -= root[i * order + j]! * w[j]!;
		w[i] = sum / root[i * order + i]!;
	}
	return w;
}
