import { fail, ok, type Result } from '../result/index.js';
import { airAt } from './density-altitude.js';
import { type AirProblem, airOf, seaLevel, standardAir } from './standard.js';
import { mPerFt, mPerSPerKt, zeroCelsiusK } from './units.js';

export interface Airspeed {
	readonly tasKt: number;
	readonly easKt: number;
	readonly mach: number;
	readonly impactPa: number;
}

const seaLevelSoundKt = airOf(1, 1).speedOfSoundMPerS / mPerSPerKt;

/** Impact pressure of a calibrated airspeed below the speed of sound. */
export function impactPressurePa(casKt: number): number {
	return seaLevel.pressurePa * ((1 + 0.2 * (casKt / seaLevelSoundKt) ** 2) ** 3.5 - 1);
}

/**
 * True airspeed from calibrated airspeed, compressible, with the temperature measured; the standard one without.
 * Calibrated, not indicated: instrument and position error are the manual's.
 * Problems: `out-of-range` below 0 or above 300 kt, `outside-atmosphere`. @rule AIR-5
 */
export function trueAirspeed(casKt: number, altitudeFt: number, oatC: number | null): Result<Airspeed, AirProblem> {
	if (!(casKt >= 0 && casKt <= 300)) return fail({ code: 'out-of-range', found: casKt, needed: '0 to 300 kt' });
	const standard = standardAir(altitudeFt * mPerFt);
	if (!standard.ok) return standard;
	const air = airAt(altitudeFt, oatC ?? standard.value.temperatureK - zeroCelsiusK);
	if (!air.ok) return air;
	const { pressurePa, speedOfSoundMPerS, sigma } = air.value;
	const impactPa = impactPressurePa(casKt);
	const mach = Math.sqrt(5 * ((impactPa / pressurePa + 1) ** (2 / 7) - 1));
	const tasKt = (mach * speedOfSoundMPerS) / mPerSPerKt;
	return ok({ tasKt, easKt: tasKt * Math.sqrt(sigma), mach, impactPa });
}
