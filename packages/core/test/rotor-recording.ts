import type { Samples } from '../src/vibration/index.js';
import { normalDraws, uniformDraws } from './seeded.js';

/** Truth of one order: amplitude and lag. */
export interface TrueOrder {
	readonly order: number;
	readonly amplitude: number;
	readonly phaseDeg: number;
}

export interface Recording {
	readonly sampleRateHz: number;
	readonly columns: Readonly<Record<string, Samples>>;
	readonly truth: Readonly<Record<string, readonly TrueOrder[]>>;
	/** Pulses in seconds, as they truly were. */
	readonly pulseTimesS: readonly number[];
}

/**
 * Invented recording of a rotor at 6.5 Hz with a slow speed wander of ± 1 %, four channels of orders 1 to 4 with white
 * noise (0.05 rms) and a tone of 0.2 at 31.7 Hz that is no order, and a narrow pulse once per revolution with noise.
 */
export function noisyRecording(seed: number, lengthS = 60, sampleRateHz = 5000): Recording {
	const uniform = uniformDraws(seed);
	const normal = normalDraws(seed + 1000);
	const count = lengthS * sampleRateHz;
	const names = ['a', 'b', 'c', 'd'];
	const truth = Object.fromEntries(
		names.map((name) => [
			name,
			[1, 2, 3, 4].map((order) => ({ order, amplitude: 0.05 + (0.4 * uniform()) / order, phaseDeg: 360 * uniform() })),
		]),
	);
	const columns: Record<string, Float32Array> = { pulse: new Float32Array(count) };
	for (const name of names) columns[name] = new Float32Array(count);
	const pulseTimesS: number[] = [];
	let before = 0;
	for (let k = 0; k < count; k++) {
		const t = k / sampleRateHz;
		const turns = 6.5 * t + (0.01 * 6.5 * (1 - Math.cos(2 * Math.PI * 0.05 * t))) / (2 * Math.PI * 0.05);
		const away = (turns - Math.round(turns)) * 2 * Math.PI;
		(columns.pulse as Float32Array)[k] = 5 * Math.exp(-((away / 0.04) ** 2)) + 0.02 * normal();
		if (k > 0 && Math.floor(turns) > Math.floor(before))
			pulseTimesS.push((k - (turns - Math.floor(turns)) / (turns - before)) / sampleRateHz);
		before = turns;
		names.forEach((name, c) => {
			let value = 0.05 * normal() + 0.2 * Math.sin(2 * Math.PI * 31.7 * t + c);
			for (const { order, amplitude, phaseDeg } of truth[name] ?? [])
				value += amplitude * Math.cos(order * turns * 2 * Math.PI - (phaseDeg * Math.PI) / 180);
			(columns[name] as Float32Array)[k] = value;
		});
	}
	return { sampleRateHz, columns, truth, pulseTimesS };
}
