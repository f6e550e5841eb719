import { fail, ok, type Problem, type Result } from '../result/index.js';

/** Sea-level values and constants of the standard atmosphere (ISO 2533, ICAO Doc 7488, US 1976 agree here; source S-26). */
export const seaLevel = { temperatureK: 288.15, pressurePa: 101325, densityKgM3: 1.225 } as const;
export const lapseKPerM = 0.0065;
/** Specific gas constant of dry air, J/(kg·K). */
export const gasConstant = 287.05287;
export const gravityMPerS2 = 9.80665;
const heatRatio = 1.4;
/** Exponent of pressure against temperature in the lowest layer. */
export const pressureExponent = gravityMPerS2 / (lapseKPerM * gasConstant);

/** The lowest layer, with room below sea level; above it temperature no longer falls. */
export const lowestM = -5000;
export const highestM = 11_000;

export interface StandardAir {
	readonly temperatureK: number;
	readonly pressurePa: number;
	readonly densityKgM3: number;
	readonly speedOfSoundMPerS: number;
	/** Temperature, pressure and density over their sea-level values. */
	readonly theta: number;
	readonly delta: number;
	readonly sigma: number;
}

export interface AirProblem extends Problem {
	readonly code: 'outside-atmosphere' | 'not-a-number' | 'out-of-range';
}

/**
 * Standard atmosphere at a *geopotential* height.
 * @param heightM −5000 to 11 000 m; convert a geometric height first (`geopotentialOf`)
 * Problems: `outside-atmosphere`. @rule AIR-1
 */
export function standardAir(heightM: number): Result<StandardAir, AirProblem> {
	if (!(heightM >= lowestM && heightM <= highestM)) return fail(outside(heightM));
	const theta = 1 - (lapseKPerM * heightM) / seaLevel.temperatureK;
	return ok(airOf(theta, theta ** pressureExponent));
}

/** Air of a temperature and pressure ratio. */
export function airOf(theta: number, delta: number): StandardAir {
	const temperatureK = theta * seaLevel.temperatureK;
	const pressurePa = delta * seaLevel.pressurePa;
	return {
		temperatureK,
		pressurePa,
		densityKgM3: pressurePa / (gasConstant * temperatureK),
		speedOfSoundMPerS: Math.sqrt(heatRatio * gasConstant * temperatureK),
		theta,
		delta,
		sigma: delta / theta,
	};
}

/** Geopotential height at which the standard atmosphere has this pressure. Problems: `outside-atmosphere`, `out-of-range`. */
export function heightOfPressureM(pressurePa: number): Result<number, AirProblem> {
	if (!(pressurePa > 0)) return fail({ code: 'out-of-range', found: pressurePa, needed: 'a pressure above zero' });
	const delta = pressurePa / seaLevel.pressurePa;
	return inside((seaLevel.temperatureK / lapseKPerM) * (1 - delta ** (1 / pressureExponent)));
}

/** Geopotential height at which the standard atmosphere has this density ratio. Problems: as above. */
export function heightOfDensityM(sigma: number): Result<number, AirProblem> {
	if (!(sigma > 0)) return fail({ code: 'out-of-range', found: sigma, needed: 'a density above zero' });
	return inside((seaLevel.temperatureK / lapseKPerM) * (1 - sigma ** (1 / (pressureExponent - 1))));
}

function inside(heightM: number): Result<number, AirProblem> {
	return heightM >= lowestM && heightM <= highestM ? ok(heightM) : fail(outside(heightM));
}

function outside(found: number): AirProblem {
	return { code: 'outside-atmosphere', found, needed: { atLeast: lowestM, atMost: highestM, unit: 'm geopotential' } };
}

/** Radius of the earth that the standard tables use. */
const earthRadiusM = 6_356_766;

/** Geopotential height of a geometric (tape-measured) one. @rule AIR-2 */
export function geopotentialOfM(geometricM: number): number {
	return (earthRadiusM * geometricM) / (earthRadiusM + geometricM);
}

/** Geometric height of a geopotential one. @rule AIR-2 */
export function geometricOfM(geopotentialM: number): number {
	return (earthRadiusM * geopotentialM) / (earthRadiusM - geopotentialM);
}
