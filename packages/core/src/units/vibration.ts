/** How a vibration level is stated. Accelerations in g, velocities in ips or mm/s, displacements in mil or µm. */
export type VibrationUnit = 'g' | 'ips' | 'mm/s' | 'mil' | 'um';

/** Which number of the sine is meant. */
export type Reckoning = 'peak' | 'rms' | 'peak-to-peak';

export type VibrationQuantity = 'acceleration' | 'velocity' | 'displacement';

/** Exact by definition: the international inch. */
export const mmPerInch = 25.4;

/** Standard gravity, exact by definition, in mm/s². */
export const mmPerS2PerG = 9806.65;

/** Size of one unit in mm, s. */
const sizes: Readonly<Record<VibrationUnit, number>> = {
	g: mmPerS2PerG,
	ips: mmPerInch,
	'mm/s': 1,
	mil: mmPerInch / 1000,
	um: 1e-3,
};

const quantities: Readonly<Record<VibrationUnit, VibrationQuantity>> = {
	g: 'acceleration',
	ips: 'velocity',
	'mm/s': 'velocity',
	mil: 'displacement',
	um: 'displacement',
};

/** The number of a reckoning for a sine of peak 1. */
const perPeak: Readonly<Record<Reckoning, number>> = { peak: 1, rms: Math.SQRT1_2, 'peak-to-peak': 2 };

/** Powers of ω between a quantity and velocity: v = quantity·ω^power. */
const velocityPowers: Readonly<Record<VibrationQuantity, number>> = { acceleration: -1, velocity: 0, displacement: 1 };

export interface VibrationScale {
	readonly unit: VibrationUnit;
	readonly reckoning: Reckoning;
}

export function quantityOf(unit: VibrationUnit): VibrationQuantity {
	return quantities[unit];
}

/** Frequency of an order at a rotor speed. */
export function orderHz(rpm: number, order = 1): number {
	return (rpm / 60) * order;
}

/**
 * One level of a sine in another unit and reckoning. Between acceleration, velocity and displacement it takes the
 * frequency; a frequency that is not above zero throws, because such a conversion has no meaning.
 * Source: 1 in = 25.4 mm, 1 g = 9806.65 mm/s² (exact), v = a/ω = d·ω; checked in tests/vectors/units.
 */
export function convertVibration(level: number, from: VibrationScale, to: VibrationScale, frequencyHz: number): number {
	const powers = velocityPowers[quantities[from.unit]] - velocityPowers[quantities[to.unit]];
	if (powers !== 0 && !(frequencyHz > 0)) throw new RangeError('the frequency must be above zero');
	const turned = powers === 0 ? 1 : (2 * Math.PI * frequencyHz) ** powers;
	return ((level * sizes[from.unit]) / perPeak[from.reckoning] / sizes[to.unit]) * perPeak[to.reckoning] * turned;
}
