import type { AirRatios } from '../conditions.js';
import type { RotorFigures } from '../type.js';

/**
 * Torque that the rotor takes, N m: profile and induced parts in proportion to the air's density and the square of
 * rotor speed; the induced part grows with collective to the power of 1.5 and is least at the best speed.
 * @param ratedNm torque at 100 % rotor speed and rated power
 */
export function rotorTorqueNm(
	figures: RotorFigures,
	ratedNm: number,
	collectivePct: number,
	nrPct: number,
	iasKt: number,
	air: AirRatios,
): number {
	const speed = (nrPct / 100) ** 2 * air.sigma;
	const induced = (Math.max(0, collectivePct) / 100) ** 1.5 * speedShare(figures, iasKt);
	return ratedNm * speed * (figures.flatPitchTorque + figures.collectiveTorque * induced);
}

/** 1 in the hover, least at the best speed, rising again with drag beyond it. */
function speedShare({ bestSpeedShare, bestIasKt }: RotorFigures, iasKt: number): number {
	const x = iasKt / bestIasKt;
	return bestSpeedShare + (1 - bestSpeedShare) * (x - 1) ** 2;
}
