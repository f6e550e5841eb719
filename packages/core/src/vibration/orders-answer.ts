import type { ChainCorrection } from './sensor-chain.js';

/** Mean and spread of one order of one channel, as peak velocity. */
export interface OrderReading {
	readonly channel: string;
	readonly order: number;
	readonly amplitudeIps: number;
	/** Lag from the pulse; null for an order that is no whole number, whose phase the pulse does not fix. */
	readonly phaseDeg: number | null;
	/** Standard deviation of the mean, per axis. */
	readonly sdIps: number;
	/** Covariance of the mean of the phasor's real and imaginary part, ips²: [re·re, re·im, im·im]. */
	readonly covarianceIps2: readonly [number, number, number];
	/** Where the spread is from: half-overlapping blocks of revolutions, or single ones where there are too few for blocks. */
	readonly scatterFrom: 'blocks' | 'revolutions';
	readonly corrections: readonly ChainCorrection[];
}

/** The answer `stillmast/orders@1`. */
export interface OrdersAnswer {
	readonly format: 'stillmast/orders@1';
	/** Over the revolutions used. */
	readonly rpm: { readonly mean: number; readonly min: number; readonly max: number };
	readonly revolutions: {
		readonly used: number;
		readonly rejected: number;
		readonly because: {
			/** Speed further from the record's median than `steadyPct`. */
			readonly unsteady: number;
			/** A pulse was missing inside. */
			readonly missedPulse: number;
			/** Samples were missing, or the record ended. */
			readonly gap: number;
			/** Steady, but in a run too short for a block, where longer runs hold most. */
			readonly shortStretch: number;
		};
	};
	readonly pulses: { readonly found: number; readonly missed: number; readonly double: number };
	/** Angle by which all phases of order 1 may be off together, when a revolution has several pulses that look alike; else 0. */
	readonly phaseStepDeg: number;
	readonly readings: readonly OrderReading[];
}
