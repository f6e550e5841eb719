import { wrap360 } from '../phasor/index.js';

/** Direction of turning, seen from above the main rotor or from outboard of the tail rotor; the same viewpoint for rotor and scale. */
export type Turning = 'clockwise' | 'counter-clockwise';

/**
 * Pass angle of a point whose place on the hub is stated as an angle from the reference blade. A point ahead of the
 * reference blade passes before it, so an angle counted the way the rotor turns is the opposite of the pass angle.
 * @param angleDeg angle on the hub from the reference blade
 * @param counted which way that angle was counted
 * @param rotor which way the rotor turns
 */
export function passAngleOf(angleDeg: number, counted: Turning, rotor: Turning): number {
	return wrap360(counted === rotor ? -angleDeg : angleDeg);
}

/** The way back: where on the hub a point of a pass angle lies. */
export function hubAngleOf(passAngleDeg: number, counted: Turning, rotor: Turning): number {
	return wrap360(counted === rotor ? -passAngleDeg : passAngleDeg);
}
