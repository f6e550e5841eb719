import { angleOfDeg, wrap180 } from '../../phasor/index.js';
import type { LearnedKind } from '../answer.js';
import type { Posterior } from '../learn/learn.js';
import { randomFrom } from '../random.js';

const draws = 2000;

/**
 * How each kind of adjuster acts on this aircraft against its table: gain and phase with 95 % intervals, and in a
 * sentence. A positive phase error is more lag than the table says.
 */
export function learnedKinds(posterior: Posterior, seed: number): LearnedKind[] {
	return posterior.layout.kinds.map((kind, m) => {
		const factors = drawFactors(posterior, m, seed);
		const mean = { re: average(factors.map((f) => f.re)), im: average(factors.map((f) => f.im)) };
		const phaseErrorDeg = wrap180(angleOfDeg(mean));
		const gains = factors.map((f) => Math.hypot(f.re, f.im)).sort((a, b) => a - b);
		const phases = factors.map((f) => phaseErrorDeg + wrap180(angleOfDeg(f) - phaseErrorDeg)).sort((a, b) => a - b);
		const gain95 = [at(gains, 0.025), at(gains, 0.975)] as const;
		const phaseError95 = [at(phases, 0.025), at(phases, 0.975)] as const;
		const gain = Math.hypot(mean.re, mean.im);
		return {
			kind,
			gain,
			gain95,
			phaseErrorDeg,
			phaseError95,
			words: sentence(kind, gain, gain95, phaseErrorDeg, phaseError95),
		};
	});
}

function drawFactors(posterior: Posterior, m: number, seed: number): { re: number; im: number }[] {
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

function average(values: readonly number[]): number {
	return values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
}

function at(sorted: readonly number[], share: number): number {
	return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}

function sentence(
	kind: string,
	gain: number,
	gain95: readonly [number, number],
	phaseDeg: number,
	phase95: readonly [number, number],
): string {
	const gainKnown = gain95[0] > 1 || gain95[1] < 1;
	const phaseKnown = phase95[0] > 0 || phase95[1] < 0;
	const size = gainKnown
		? `acts ${gain.toFixed(2)} times as strongly as the table says (${gain95[0].toFixed(2)} to ${gain95[1].toFixed(2)})`
		: `acts as strongly as the table says, as far as known (${gain95[0].toFixed(2)} to ${gain95[1].toFixed(2)} times)`;
	const turn = phaseKnown
		? `${Math.abs(phaseDeg).toFixed(0)}° ${phaseDeg > 0 ? 'later' : 'earlier'} (${signed(phase95[0])} to ${signed(phase95[1])}°)`
		: `with no phase error that shows (${signed(phase95[0])} to ${signed(phase95[1])}°)`;
	return `On this rotor a ${kind} ${size}, ${turn}.`;
}

function signed(value: number): string {
	const size = Math.abs(value).toFixed(0);
	if (size === '0') return size;
	return `${value < 0 ? '−' : '+'}${size}`;
}
