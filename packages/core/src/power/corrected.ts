/** What a parameter is, as its correction to standard inlet conditions depends on it. */
export type CorrectedKind =
	| 'speed'
	| 'temperature'
	| 'pressure'
	| 'air-flow'
	| 'fuel-flow'
	| 'power'
	| 'torque'
	| 'thrust'
	| 'thrust-specific-fuel'
	| 'shaft-specific-fuel';

/** Powers of θ and δ: corrected = value / (θ^theta · δ^delta). */
export interface CorrectionExponents {
	readonly theta: number;
	readonly delta: number;
}

/** Theory of similarity (source S-33). Fitted ones differ; the flight manual's chart governs. */
export const correctionExponents: Readonly<Record<CorrectedKind, CorrectionExponents>> = {
	speed: { theta: 0.5, delta: 0 },
	temperature: { theta: 1, delta: 0 },
	pressure: { theta: 0, delta: 1 },
	'air-flow': { theta: -0.5, delta: 1 },
	'fuel-flow': { theta: 0.5, delta: 1 },
	power: { theta: 0.5, delta: 1 },
	torque: { theta: 0, delta: 1 },
	thrust: { theta: 0, delta: 1 },
	'thrust-specific-fuel': { theta: 0.5, delta: 0 },
	'shaft-specific-fuel': { theta: 0, delta: 0 },
};

/**
 * A parameter corrected to standard inlet conditions. Temperatures must be absolute: dividing degrees Celsius by θ is
 * 13 °C off already on a warm day. @rule PWR-14
 * @param theta inlet temperature ratio > 0
 * @param delta inlet pressure ratio > 0
 */
export function corrected(
	value: number,
	kind: CorrectedKind,
	{ theta, delta }: { readonly theta: number; readonly delta: number },
	exponents: CorrectionExponents = correctionExponents[kind],
): number {
	if (!(theta > 0 && delta > 0)) throw new RangeError('ratios of absolute temperature and pressure are above zero');
	return value / (theta ** exponents.theta * delta ** exponents.delta);
}

/** A turbine temperature in °C, corrected through kelvin and told in °C again. @rule PWR-14 */
export function correctedTemperatureC(
	temperatureC: number,
	ratios: { readonly theta: number; readonly delta: number },
): number {
	return corrected(temperatureC + 273.15, 'temperature', ratios) - 273.15;
}

/** Shaft power in hp of a torque in lb·ft: 33 000 ft·lb/min in a horsepower, by definition. */
export function shaftPowerHp(torqueLbFt: number, rpm: number): number {
	return (torqueLbFt * rpm * 2 * Math.PI) / 33_000;
}
