import { angleOfDeg, wrap180 } from '../../phasor/index.js';
import type { LearnedKind } from '../answer.js';
import { drawFactors } from '../learn/kind-factor.js';
import type { Posterior } from '../learn/posterior.js';

const draws = 2000;

/**
 * How each kind of adjuster acts on this aircraft against its table: gain and phase with 95 % intervals, and in a
 * sentence. A positive phase error is more lag than the table says.
 */
export function learnedKinds(posterior: Posterior, seed: number): LearnedKind[] {
	return posterior.layout.kinds.map((kind, m) => {
		const factors = drawFactors(posterior, m, draws, seed);
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
