import { angleOfDeg, type Complex, conjugate, fromPolar, magnitude } from '../../phasor/index.js';

/**
 * A once-per-revolution reading. `amplitude` is in whatever unit the instrument gives: shop methods are ratios, so any
 * one unit serves, the same for all readings of a call, and no answer depends on which.
 */
export interface ShopReading {
	readonly amplitude: number;
	readonly phaseDeg: number;
}

/** A mass at an angle of the rotor, at one agreed radius. `amount` is in the caller's unit of mass; the answer is in the same. */
export interface ShopMass {
	readonly amount: number;
	readonly angleDeg: number;
}

/**
 * Which way the two scales run. `same`: phase and mass angles grow the same way round from one mark.
 * `opposite`: the phase is read against the mass scale. The same figures give another answer under the other sense,
 * so there is no default.
 */
export type AngleSense = 'same' | 'opposite';

/** Worth a second look before metal is changed; never a refusal. */
export type ShopCaution =
	/** The correction is over twice the trial mass: the answer is extrapolated. */
	| 'far-beyond-the-trial'
	/** The trial changed the reading by less than three times its stated scatter: the phase of the change means little. */
	| 'change-near-scatter';

/** A correction over this many trial masses is extrapolation (common practice, no source). */
export const farBeyondTrialRatio = 2;

/** A change must be this many times the scatter of a reading per axis to be believed without a caution (common practice). */
export const believableScatters = 3;

/** Numbers come checked from the border: one that is not finite here is a programmer's error. */
export function assertFinite(name: string, value: number): void {
	if (!Number.isFinite(value)) throw new RangeError(`${name} must be a finite number, is ${value}`);
}

export function phasorOf(reading: ShopReading): Complex {
	assertFinite('amplitude', reading.amplitude);
	assertFinite('phaseDeg', reading.phaseDeg);
	return fromPolar(reading.amplitude, reading.phaseDeg);
}

export function readingOf(phasor: Complex): ShopReading {
	return { amplitude: magnitude(phasor), phaseDeg: angleOfDeg(phasor) };
}

/** The mass as a phasor that grows with phase, whichever way its own scale runs. */
export function phasorOfMass(mass: ShopMass, sense: AngleSense): Complex {
	assertFinite('amount', mass.amount);
	assertFinite('angleDeg', mass.angleDeg);
	const phasor = fromPolar(mass.amount, mass.angleDeg);
	return sense === 'same' ? phasor : conjugate(phasor);
}

export function massOf(phasor: Complex, sense: AngleSense): ShopMass {
	const own = sense === 'same' ? phasor : conjugate(phasor);
	return { amount: magnitude(own), angleDeg: angleOfDeg(own) };
}

/** The same unbalance from another radius: amount · from / to. Both radii in one unit, `toRadius` not zero. */
export function atRadius(mass: ShopMass, fromRadius: number, toRadius: number): ShopMass {
	if (!(toRadius > 0)) throw new RangeError('the radius to carry a mass to must be above zero');
	return { amount: (mass.amount * fromRadius) / toRadius, angleDeg: mass.angleDeg };
}
