/** Brings any finite angle into [0, 360) degrees; −0 and tiny negatives give 0, never 360. */
export function wrap360(angleDeg: number): number {
	const wrapped = ((angleDeg % 360) + 360) % 360;
	return wrapped === 0 ? 0 : wrapped;
}

/** Brings any finite angle into (−180, 180] degrees: how far, and which way, one angle is from another. */
export function wrap180(angleDeg: number): number {
	const wrapped = wrap360(angleDeg);
	return wrapped > 180 ? wrapped - 360 : wrapped;
}
