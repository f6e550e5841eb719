import { fail, ok, type Result } from '../result/index.js';
import { type AirProblem, airOf, heightOfDensityM, type StandardAir, seaLevel, standardAir } from './standard.js';
import { differenceC, hpaPerInHg, kelvinOf, mPerFt, zeroCelsiusK } from './units.js';

/** Gas constant of dry air over that of water vapour. */
const vapourRatio = 0.622;

/** Air at a pressure altitude with the temperature measured there: θ, δ, σ. Problems: `outside-atmosphere`, `out-of-range`. */
export function airAt(altitudeFt: number, oatC: number): Result<StandardAir, AirProblem> {
	const standard = standardAir(altitudeFt * mPerFt);
	if (!standard.ok) return standard;
	const temperatureK = kelvinOf(oatC);
	if (!(temperatureK > 0)) return fail({ code: 'out-of-range', found: oatC, needed: `above ${-zeroCelsiusK} °C` });
	return ok(airOf(temperatureK / seaLevel.temperatureK, standard.value.delta));
}

/** Density altitude of dry air, exact. Problems: as `airAt`. @rule AIR-4 */
export function densityAltitudeFt(altitudeFt: number, oatC: number): Result<number, AirProblem> {
	const air = airAt(altitudeFt, oatC);
	return air.ok ? inFeet(heightOfDensityM(air.value.sigma)) : air;
}

/**
 * Density altitude of humid air: the same with the virtual temperature. Vapour pressure over water by the Magnus form
 * that the weather service uses (source S-27).
 * @param dewPointC not above `oatC`
 * Problems: as `airAt`; `out-of-range` for a dew point above the temperature. @rule AIR-4
 */
export function humidDensityAltitudeFt(
	altitudeFt: number,
	oatC: number,
	dewPointC: number,
): Result<number, AirProblem> {
	if (!(dewPointC <= oatC)) return fail({ code: 'out-of-range', found: dewPointC, needed: `at most ${oatC} °C` });
	const air = airAt(altitudeFt, oatC);
	if (!air.ok) return air;
	const virtual = virtualTemperatureK(oatC, dewPointC, air.value.pressurePa / 100);
	const { theta, delta } = air.value;
	return inFeet(heightOfDensityM(delta / ((theta * virtual) / kelvinOf(oatC))));
}

/** Pressure of water vapour at a dew point, hPa (source S-27). */
export function vapourHpa(dewPointC: number): number {
	return 6.11 * 10 ** ((7.5 * dewPointC) / (237.7 + dewPointC));
}

/** Temperature at which dry air would be as light as this humid air. */
export function virtualTemperatureK(oatC: number, dewPointC: number, stationHpa: number): number {
	return kelvinOf(oatC) / (1 - (vapourHpa(dewPointC) / stationHpa) * (1 - vapourRatio));
}

/**
 * Density altitude by the weather service's closed form, to compare with its figures: its constants differ from the
 * standard atmosphere's (459.69 among them) by some tens of feet (source S-27).
 */
export function weatherServiceDensityAltitudeFt(stationInHg: number, oatC: number, dewPointC: number): number {
	// The service's own rounded conversion.
	const stationHpa = stationInHg * 33.8639;
	const virtualC = virtualTemperatureK(oatC, dewPointC, stationHpa) - zeroCelsiusK;
	const virtualR = 1.8 * virtualC + 32 + 459.69;
	return 145_366 * (1 - ((17.326 * stationInHg) / virtualR) ** 0.235);
}

/**
 * Density altitude by the rule of 120 ft per °C above standard; a rule, not for a record: 200 ft off on a hot day.
 * @param standardAtFt where the standard temperature is taken; pressure altitude unless stated (some take the elevation)
 */
export function ruleDensityAltitudeFt(altitudeFt: number, oatC: number, standardAtFt = altitudeFt): number {
	return altitudeFt + 120 * (oatC - (15 - (1.98 * standardAtFt) / 1000));
}

/**
 * Relative humidity under which turbine performance is scheduled: 80 % to the standard temperature, 34 % from 50 °F above
 * it, linear between (14 CFR 27.45(e) and 29.45(e), source S-28). Problems: `outside-atmosphere`.
 */
export function scheduledHumidityPct(altitudeFt: number, oatC: number): Result<number, AirProblem> {
	const standard = standardAir(altitudeFt * mPerFt);
	if (!standard.ok) return standard;
	const above = (kelvinOf(oatC) - standard.value.temperatureK) / differenceC(50);
	return ok(80 - 46 * Math.min(1, Math.max(0, above)));
}

/** Pressure in inches of mercury as hectopascals. */
export function hpaOfInHg(pressureInHg: number): number {
	return pressureInHg * hpaPerInHg;
}

function inFeet(heightM: Result<number, AirProblem>): Result<number, AirProblem> {
	return heightM.ok ? ok(heightM.value / mPerFt) : heightM;
}
