/** Figures for people. Rounding happens here and nowhere before; a bound is rounded away from what it bounds. */

/** Decimals that show a limit of this size with two figures at least. */
export function ipsDecimals(leastLimitIps: number): number {
	return leastLimitIps >= 0.1 ? 2 : leastLimitIps >= 0.01 ? 3 : 4;
}

export function rounded(value: number, decimals: number): string {
	return value.toFixed(decimals);
}

/** An upper bound: never shown lower than it is. */
export function atMost(value: number, decimals: number): string {
	return stepped(value, decimals, Math.ceil);
}

/** A lower bound: never shown higher than it is. */
export function atLeast(value: number, decimals: number): string {
	return stepped(value, decimals, Math.floor);
}

function stepped(value: number, decimals: number, step: (value: number) => number): string {
	const scale = 10 ** decimals;
	// A value that is whole up to the last bits of a double is not pushed to the next one.
	const nearest = Math.round(value * scale);
	const whole = Math.abs(nearest - value * scale) < 1e-9 ? nearest : step(value * scale);
	return (whole / scale).toFixed(decimals);
}

/** Whole degrees of a lag, 0° to 359°. */
export function degrees(value: number): string {
	return `${((Math.round(value) % 360) + 360) % 360}°`;
}

/** A signed difference of degrees, as −12° or +5°. */
export function signedDegrees(value: number): string {
	const whole = Math.round(value);
	return `${whole < 0 ? '−' : '+'}${Math.abs(whole)}°`;
}

/** A chance in per cent; certainty is never claimed. */
export function chance(value: number): string {
	if (value < 0.01) return 'under 1 %';
	if (value > 0.99) return 'over 99 %';
	return `${Math.round(value * 100)} %`;
}
