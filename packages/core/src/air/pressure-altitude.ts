import { ok, type Result } from '../result/index.js';
import { type AirProblem, heightOfPressureM, standardAir } from './standard.js';
import { mPerFt } from './units.js';

/**
 * Pressure altitude from the pressure at the place itself (QFE, or an altimeter's static pressure).
 * Problems: `outside-atmosphere`, `out-of-range`. @rule AIR-3
 */
export function pressureAltitudeFt(stationHpa: number): Result<number, AirProblem> {
	const heightM = heightOfPressureM(stationHpa * 100);
	return heightM.ok ? ok(heightM.value / mPerFt) : heightM;
}

/**
 * Pressure altitude from the altimeter setting: elevation plus the standard height of the setting, exact at every
 * elevation. The rule of 1000 ft for 1 inHg is 97 ft off at 28.0 inHg. @rule AIR-3
 */
export function pressureAltitudeFromQnhFt(elevationFt: number, qnhHpa: number): Result<number, AirProblem> {
	const settingFt = pressureAltitudeFt(qnhHpa);
	return settingFt.ok ? ok(elevationFt + settingFt.value) : settingFt;
}

/** Pressure at a place of known elevation from its altimeter setting. */
export function stationHpaFromQnh(elevationFt: number, qnhHpa: number): Result<number, AirProblem> {
	const altitudeFt = pressureAltitudeFromQnhFt(elevationFt, qnhHpa);
	if (!altitudeFt.ok) return altitudeFt;
	const air = standardAir(altitudeFt.value * mPerFt);
	return air.ok ? ok(air.value.pressurePa / 100) : air;
}

/** Altimeter setting from the pressure at a place of known elevation. */
export function qnhFromStationHpa(elevationFt: number, stationHpa: number): Result<number, AirProblem> {
	const altitudeFt = pressureAltitudeFt(stationHpa);
	if (!altitudeFt.ok) return altitudeFt;
	const air = standardAir((altitudeFt.value - elevationFt) * mPerFt);
	return air.ok ? ok(air.value.pressurePa / 100) : air;
}
