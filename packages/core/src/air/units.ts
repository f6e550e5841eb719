/** Exact by definition. */
export const mPerFt = 0.3048;
export const zeroCelsiusK = 273.15;
/** Hectopascals per inch of mercury at 0 °C under standard gravity. */
export const hpaPerInHg = 33.863886;
/** Metres per second in a knot, exact by definition. */
export const mPerSPerKt = 1852 / 3600;

/** A temperature, not a difference. */
export function fahrenheitOf(temperatureC: number): number {
	return temperatureC * 1.8 + 32;
}

/** A temperature, not a difference. */
export function celsiusOf(temperatureF: number): number {
	return (temperatureF - 32) / 1.8;
}

/** A difference of temperatures: 20 °C apart are 36 °F apart, not 68. @rule AIR-6 */
export function differenceF(differenceC: number): number {
	return differenceC * 1.8;
}

/** A difference of temperatures: 36 °F apart are 20 °C apart. @rule AIR-6 */
export function differenceC(differenceF: number): number {
	return differenceF / 1.8;
}

export function kelvinOf(temperatureC: number): number {
	return temperatureC + zeroCelsiusK;
}
