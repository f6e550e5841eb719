/** What a recorded column holds. `mV` needs the sensor's sensitivity; velocities and accelerations are as they stand. */
export type RecordedQuantity = 'g' | 'ips' | 'mm/s' | 'mV';

export interface SignalChannel {
	readonly id: string;
	readonly quantity: RecordedQuantity;
	/** Accelerometer sensitivity, for `mV`. */
	readonly mVPerG?: number | undefined;
	/** Velocity pickup sensitivity, for `mV`. */
	readonly mVPerIps?: number | undefined;
	/** Corner of a first-order high-pass in the chain. */
	readonly highPassHz?: number | undefined;
	/** Corner of a first-order low-pass in the chain. */
	readonly lowPassHz?: number | undefined;
	/** Natural frequency of the sensor; with `damping`. A velocity pickup works above it, an accelerometer below. */
	readonly naturalHz?: number | undefined;
	/** Damping ratio at `naturalHz`. */
	readonly damping?: number | undefined;
	/** How much later than the motion the column is. */
	readonly delayS?: number | undefined;
	/** −1 where the positive output is the opposite of the product's positive direction; 1 unless stated. */
	readonly polarity?: 1 | -1 | undefined;
}

/** Which flank is the pulse. `centre` is midway between the two, for pulses that are symmetrical. */
export type PulseEdge = 'rising' | 'falling' | 'centre';

export interface PulseColumn {
	readonly column: string;
	readonly threshold: number;
	/** The signal must come back by this much beyond the threshold before the next pulse counts; above zero in noise. */
	readonly hysteresis: number;
	/** How much later than the mark the pulse is. */
	readonly delayS?: number | undefined;
	/** `rising` unless stated. */
	readonly edge?: PulseEdge | undefined;
}

export interface PulseTimes {
	/** Seconds from the first sample, ascending. */
	readonly timesS: readonly number[];
	readonly delayS?: number | undefined;
}

/** The setup `stillmast/signals@1`: how a recording is to be read. */
export interface SignalSetup {
	readonly format: 'stillmast/signals@1';
	readonly sampleRateHz: number;
	readonly channels: readonly SignalChannel[];
	readonly pulse: PulseColumn | PulseTimes;
	/** 1 unless stated. With more, the phase is known only up to the angle between two pulses. */
	readonly pulsesPerRev?: number | undefined;
	/** Multiples of once per rev, whole or not; [1] unless stated. */
	readonly orders?: readonly number[] | undefined;
	/** A revolution counts when its speed is within this of the record's median; 1 unless stated. */
	readonly steadyPct?: number | undefined;
	/** Points a revolution is resampled to; unless stated a power of two, at least 512 and at least the samples in a revolution. */
	readonly pointsPerRev?: number | undefined;
}

export interface SignalProblem {
	readonly code: /** A channel, threshold or rate of the setup that cannot be: see path. */
		| 'bad-setup'
		/** A column the setup names is not among the samples. */
		| 'missing-column'
		/** Columns of different length. */
		| 'uneven-columns'
		/** Fewer pulses than a revolution needs. */
		| 'no-pulses'
		/** Fewer steady revolutions than a block needs. */
		| 'too-few-revolutions'
		/** The order lies beyond what the sample rate carries at this speed. */
		| 'order-too-high';
	readonly found: number | string | readonly string[];
	readonly needed: number | string;
	readonly path: string;
}
