import { wrap180 } from '../../src/phasor/index.js';
import { type OrdersAnswer, reduceSignals, type SignalSetup } from '../../src/vibration/index.js';
import { noisyRecording, type Recording } from '../../test/rotor-recording.js';

export const setupWith = (pointsPerRev: number | undefined): SignalSetup => ({
	format: 'stillmast/signals@1',
	sampleRateHz: 5000,
	channels: ['a', 'b', 'c', 'd'].map((id) => ({ id, quantity: 'ips' })),
	pulse: { column: 'pulse', threshold: 2.5, hysteresis: 0.5, edge: 'centre' },
	orders: [1, 2, 3, 4],
	steadyPct: 2,
	pointsPerRev,
});

/** Errors of one reading: amplitude in per cent, phase in degrees, and amplitude in its own stated sds. */
export interface ReadingError {
	readonly amplitudePct: number;
	readonly phaseDeg: number;
	readonly sds: number;
	/** The smallest standard deviation in per cent that any unbiased method can have in this noise: σ·√(2/N) over the amplitude. */
	readonly boundPct: number;
}

const noiseRms = 0.05;

export function errorsOf(recording: Recording, answer: OrdersAnswer): readonly ReadingError[] {
	const count = recording.columns.a?.length ?? 0;
	return answer.readings.map((reading) => {
		const truth = recording.truth[reading.channel]?.find(({ order }) => order === reading.order);
		if (!truth || reading.phaseDeg === null) throw new Error(`no truth for ${reading.channel}, order ${reading.order}`);
		return {
			amplitudePct: 100 * Math.abs(reading.amplitudeIps / truth.amplitude - 1),
			phaseDeg: Math.abs(wrap180(reading.phaseDeg - truth.phaseDeg)),
			sds: (reading.amplitudeIps - truth.amplitude) / reading.sdIps,
			boundPct: (100 * noiseRms * Math.sqrt(2 / count)) / truth.amplitude,
		};
	});
}

/** Errors of `seeds` invented recordings of 60 s, 16 readings each. */
export function errorsOver(seeds: number, pointsPerRev: number | undefined): readonly (readonly ReadingError[])[] {
	return Array.from({ length: seeds }, (_, k) => {
		const recording = noisyRecording(k + 1);
		const answer = reduceSignals(setupWith(pointsPerRev), recording.columns);
		if (!answer.ok) throw new Error(JSON.stringify(answer.problem));
		return errorsOf(recording, answer.value);
	});
}
